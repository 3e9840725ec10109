using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace Acquire.Core.Detection;

/// <summary>Lines with a kink through one window of averaged points, by least squares, for every place at which the kink may lie.</summary>
/// <remarks>
/// The model is y = a + b·x + d·max(0, x − c): a line that turns by d at c. For a given c the best d and the sum of squares
/// left follow from sums over all points and over those behind c, so each place costs the same, whatever it takes in.
/// </remarks>
internal readonly struct KinkFit
{
    // Least scatter of a point, °C: no thermometer is read better, and what was computed without noise must not be sure of a rounding.
    private const double LeastScatterCelsius = 0.001;

    // Places taken side by side.
    private const int Wide = 4;

    private readonly double _points;
    private readonly double _count;
    private readonly double _x;
    private readonly double _y;
    private readonly double _newestX;
    private readonly double _xx;
    private readonly double _perCount;
    private readonly double _perXX;

    /// <param name="all">Sums over all points.</param>
    /// <param name="newestX">Time of the newest point relative to the one that the sums are relative to, s.</param>
    public KinkFit(in RampMoments all, double newestX)
    {
        (_points, _count, _x, _y, _newestX) = (all.Points, all.Count, all.X, all.Y, newestX);
        _xx = all.XX - (_x * _x / _count);
        var xy = all.XY - (_x * _y / _count);
        (Slope, _perCount, _perXX) = (xy / _xx, 1 / _count, 1 / _xx);
        LineSquares = Math.Max(0, all.YY - (_y * _y / _count) - (Slope * xy)) + (_count * LeastScatterCelsius * LeastScatterCelsius);
        Freedom = _points - 3;
    }

    /// <summary>Room that <see cref="Saved"/> takes in its rows behind the last place.</summary>
    public const int Slack = Wide;

    /// <summary>Deviation of a point of mean weight that is no more than chance, for squares that are left, °C.</summary>
    public double Scatter(double squares) => Math.Sqrt(squares / Freedom * _points / _count);

    /// <summary>Slope of the line without a kink, °C/s.</summary>
    public double Slope { get; }

    /// <summary>Squares that the line without a kink leaves, °C².</summary>
    public double LineSquares { get; }

    /// <summary>Points less the figures fitted to them.</summary>
    public double Freedom { get; }

    /// <summary>Sum of squares of the times about their mean, s².</summary>
    public double Spread => _xx;

    /// <summary>Square of the deviations by which a kink is a turn.</summary>
    /// <param name="saved">Squares that it saves, °C².</param>
    public double Significance(double saved) => Freedom * ((LineSquares / (LineSquares - Math.Abs(saved))) - 1);

    /// <summary>The squares that the best line with a kink saves, place by place, °C²; negative where it turns downwards there.</summary>
    /// <param name="sums">The points.</param>
    /// <param name="places">The places.</param>
    /// <param name="turnX">Where they are, s relative to the newest point; the slack behind them.</param>
    /// <param name="saved">Receives the squares, and anything in the slack behind them.</param>
    public void Saved(RampSums sums, ReadOnlySpan<int> places, ReadOnlySpan<double> turnX, Span<double> saved)
    {
        ref readonly var newest = ref sums.Newest;
        for (var k = 0; k < places.Length; k += Wide)
        {
            ref readonly var a = ref sums.UpTo(places[k]);
            ref readonly var b = ref sums.UpTo(places[Math.Min(k + 1, places.Length - 1)]);
            ref readonly var c = ref sums.UpTo(places[Math.Min(k + 2, places.Length - 1)]);
            ref readonly var d = ref sums.UpTo(places[Math.Min(k + 3, places.Length - 1)]);
            Squares(
                Vector256.Create(newest.Count) - Vector256.Create(a.Count, b.Count, c.Count, d.Count),
                Vector256.Create(newest.X) - Vector256.Create(a.X, b.X, c.X, d.X),
                Vector256.Create(newest.XX) - Vector256.Create(a.XX, b.XX, c.XX, d.XX),
                Vector256.Create(newest.Y) - Vector256.Create(a.Y, b.Y, c.Y, d.Y),
                Vector256.Create(newest.XY) - Vector256.Create(a.XY, b.XY, c.XY, d.XY),
                Vector256.Create(turnX[k..])).CopyTo(saved[k..]);
        }
    }

    /// <summary>The best line with a kink behind which some of the points lie.</summary>
    /// <param name="behind">Sums over these points.</param>
    /// <param name="turnX">Where it is, s relative to the newest point.</param>
    public KinkCandidate At(in RampMoments behind, double turnX)
    {
        var c = turnX + _newestX;
        var u = behind.X - (c * behind.Count);
        var (mean, uu) = (u * _perCount, behind.XX - (c * behind.X) - (c * u));
        var (centredUU, ux) = (uu - (u * mean), behind.XX - (c * behind.X) - (_x * mean));
        var (left, uy) = (centredUU - (ux * ux * _perXX), behind.XY - (c * behind.Y) - (_y * mean) - (ux * Slope));
        var turn = uy / left;
        return new KinkCandidate(turnX, Slope + (turn * (1 - (ux * _perXX))), turn, LineSquares - (uy * uy / left), (centredUU - (2 * ux) + _xx) / (_xx * left));
    }

    // The same for several places side by side: of max(0, x − c), its mean taken off, the square and the product with the times,
    // then what the line leaves of its square, and of its product with the values.
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private Vector256<double> Squares(Vector256<double> count, Vector256<double> x, Vector256<double> xx, Vector256<double> y, Vector256<double> xy, Vector256<double> turnX)
    {
        var c = turnX + Vector256.Create(_newestX);
        var u = x - (c * count);
        var all = xx - (c * x);
        var (mean, uu) = (u * _perCount, all - (c * u));
        var (centredUU, ux) = (uu - (u * mean), all - (mean * _x));
        var (left, uy) = (centredUU - (ux * ux * _perXX), xy - (c * y) - (mean * _y) - (ux * Slope));
        return Vector256.ConditionalSelect(Vector256.GreaterThan(left, Vector256<double>.Zero), uy * Vector256.Abs(uy) / left, Vector256<double>.Zero);
    }
}

/// <summary>A line with a kink at one place.</summary>
/// <param name="TurnX">Where, s relative to the newest point.</param>
/// <param name="Slope">Slope behind it, °C/s.</param>
/// <param name="Turn">By how much the slope changed, °C/s.</param>
/// <param name="Squares">Squares that are left, °C².</param>
/// <param name="SlopeFactor">Variance of the slope behind it for noise of variance 1, s⁻².</param>
internal readonly record struct KinkCandidate(double TurnX, double Slope, double Turn, double Squares, double SlopeFactor);
