using System.Runtime.Intrinsics;

namespace Acquire.Core.Thermometry;

/// <summary>A stretch of emf over which one published inverse polynomial seeds one piece of the reference function.</summary>
/// <remarks>The seed is off by 0.06 °C at most; one step of Halley's rule, whose error goes with the third power, leaves less than 1e-7 °C.</remarks>
internal sealed class InverseSegment(ForwardPiece forward, InverseRow seed, double lowestMillivolts, double highestMillivolts)
{
    private readonly double[] _falling = Polynomial.Falling(seed.D);

    /// <summary>Low end, mV, which belongs to the segment below; minus infinity for the lowest.</summary>
    public double LowestMillivolts { get; } = lowestMillivolts;

    /// <summary>High end, mV; it belongs to this segment.</summary>
    public double HighestMillivolts { get; } = highestMillivolts;

    /// <summary>Divides the range that published inverses cover at the ends of the function's pieces and of the published inverses, so that a temperature and its emf always meet in the same piece.</summary>
    public static InverseSegment[] Divide(IReadOnlyList<ForwardPiece> pieces, IReadOnlyList<InverseRow> seeds)
    {
        var coldest = seeds[0].LowestCelsius;
        var cuts = pieces.Select(piece => piece.LowestCelsius).Concat(seeds.Select(seed => seed.LowestCelsius)).Where(cut => cut >= coldest)
            .Append(pieces[^1].HighestCelsius).Distinct().Order().ToArray();
        var segments = new InverseSegment[cuts.Length - 1];
        var below = double.NegativeInfinity;
        for (var i = 0; i < segments.Length; i++)
        {
            var forward = pieces.First(piece => piece.HighestCelsius >= cuts[i + 1]);
            var seed = seeds.Last(row => row.LowestCelsius <= cuts[i]);
            segments[i] = new(forward, seed, below, forward.Emf(cuts[i + 1]));
            below = segments[i].HighestMillivolts;
        }

        return segments;
    }

    /// <summary>Temperature, °C. The seed may lie a little outside the piece, where the function goes on smoothly: it is not pulled back, which would spoil the step.</summary>
    public double Celsius(double emfMillivolts)
    {
        var celsius = Polynomial.Value(_falling, emfMillivolts);
        forward.Expand(celsius, out var value, out var slope, out var halfCurvature);
        var miss = value - emfMillivolts;
        return celsius - (miss * slope / Math.FusedMultiplyAdd(-miss, halfCurvature, slope * slope));
    }

    /// <summary>Four temperatures, °C; of no use for an emf outside the segment.</summary>
    public Vector256<double> Celsius(Vector256<double> emfMillivolts)
    {
        var celsius = Polynomial.Value(_falling, emfMillivolts);
        forward.Expand(celsius, out var value, out var slope, out var halfCurvature);
        var miss = value - emfMillivolts;
        return celsius - (miss * slope / Vector256.FusedMultiplyAdd(-miss, halfCurvature, slope * slope));
    }
}
