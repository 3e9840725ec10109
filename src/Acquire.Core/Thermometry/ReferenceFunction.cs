using System.Runtime.Intrinsics;

namespace Acquire.Core.Thermometry;

/// <summary>The reference function of one letter type in all its pieces, and its inverse by Newton's rule.</summary>
internal sealed class ReferenceFunction(IEnumerable<ForwardRow> rows)
{
    // Halving alone needs 54 steps from 1,400 °C to the spacing of doubles there; Newton's rule takes about 6.
    private const int MostSteps = 64;

    private readonly ForwardPiece[] _pieces = [.. rows.Select(row => new ForwardPiece(row))];

    /// <summary>The pieces, coldest first.</summary>
    public IReadOnlyList<ForwardPiece> Pieces => _pieces;

    /// <summary>The piece that holds a temperature, °C, which must be within the range.</summary>
    public ForwardPiece At(double celsius)
    {
        var i = 0;
        while (celsius > _pieces[i].HighestCelsius)
        {
            i++;
        }

        return _pieces[i];
    }

    /// <summary>Emfs, mV, of four temperatures within the range, °C.</summary>
    public Vector256<double> Emf(Vector256<double> celsius)
    {
        var emfs = _pieces[^1].Emf(celsius);
        for (var i = _pieces.Length - 2; i >= 0; i--)
        {
            var colder = Vector256.LessThanOrEqual(celsius, Vector256.Create(_pieces[i].HighestCelsius));
            if (colder != default)
            {
                emfs = Vector256.ConditionalSelect(colder, _pieces[i].Emf(celsius), emfs);
            }
        }

        return emfs;
    }

    /// <summary>Temperature, °C, not below a lowest one, that has an emf, mV. Both must be within the range. A temperature and its emf meet in the same piece.</summary>
    /// <param name="emfMillivolts">Emf, mV.</param>
    /// <param name="lowestCelsius">Lowest temperature that may come out, °C.</param>
    /// <param name="startCelsius">Where to begin, °C; anything, also not a number, will do.</param>
    /// <remarks>Inside a bracket: near -270 °C the emf hardly changes with temperature, and an unguarded step could leave the range.</remarks>
    public double Invert(double emfMillivolts, double lowestCelsius, double startCelsius = double.NaN)
    {
        var i = 0;
        while (emfMillivolts > _pieces[i].HighestMillivolts && i < _pieces.Length - 1)
        {
            i++;
        }

        var piece = _pieces[i];
        var (low, high) = (Math.Max(lowestCelsius, piece.LowestCelsius), piece.HighestCelsius);
        var celsius = startCelsius >= low && startCelsius <= high ? startCelsius : (low + high) / 2;
        for (var step = 0; step < MostSteps; step++)
        {
            piece.Expand(celsius, out var value, out var slope, out _);
            (low, high) = value > emfMillivolts ? (low, celsius) : (celsius, high);
            var next = celsius - ((value - emfMillivolts) / slope);
            next = next >= low && next <= high ? next : (low + high) / 2;
            var move = Math.Abs(next - celsius);
            celsius = next;

            // What is left goes with the square of the move.
            if (move < 1e-9)
            {
                break;
            }
        }

        return celsius;
    }
}
