using System.Runtime.CompilerServices;

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

    private readonly RampMoments _all;
    private readonly double _newestX;
    private readonly double _xx;
    private readonly double _perCount;
    private readonly double _perXX;

    /// <param name="all">Sums over all points.</param>
    /// <param name="newestX">Time of the newest point relative to the one that the sums are relative to, s.</param>
    public KinkFit(in RampMoments all, double newestX)
    {
        (_all, _newestX) = (all, newestX);
        _xx = all.XX - (all.X * all.X / all.Count);
        var xy = all.XY - (all.X * all.Y / all.Count);
        (Slope, _perCount, _perXX) = (xy / _xx, 1 / all.Count, 1 / _xx);
        LineSquares = Math.Max(0, all.YY - (all.Y * all.Y / all.Count) - (Slope * xy)) + (all.Count * LeastScatterCelsius * LeastScatterCelsius);
        Freedom = all.Points - 3;
    }

    /// <summary>Deviation of a point of mean weight that is no more than chance, for squares that are left, °C.</summary>
    public double Scatter(double squares) => Math.Sqrt(squares / Freedom * _all.Points / _all.Count);

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

    /// <summary>The squares that the best line with a kink at a place saves, °C²; negative where it turns downwards there.</summary>
    /// <param name="newest">Sums up to the newest point.</param>
    /// <param name="place">Sums up to the place.</param>
    /// <param name="turnX">Where it is, s relative to the newest point.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public double Saved(in RampMoments newest, in RampMoments place, double turnX)
    {
        var (_, _, left, uy) = Along(newest.Count - place.Count, newest.X - place.X, newest.XX - place.XX, newest.Y - place.Y, newest.XY - place.XY, turnX);
        return left > 0 ? uy * Math.Abs(uy) / left : 0;
    }

    /// <summary>The best line with a kink behind which some of the points lie.</summary>
    /// <param name="behind">Sums over these points.</param>
    public KinkCandidate At(in RampMoments behind)
    {
        var (uu, ux, left, uy) = Along(behind.Count, behind.X, behind.XX, behind.Y, behind.XY, behind.TurnX);
        var turn = uy / left;
        return new KinkCandidate(behind.TurnX, Slope + (turn * (1 - (ux * _perXX))), turn, LineSquares - (uy * uy / left), (uu - (2 * ux) + _xx) / (_xx * left));
    }

    // Of max(0, x − c), its mean taken off: its square, its product with the times, then what the line leaves of its square, and of its product with the values.
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private (double UU, double UX, double Left, double UY) Along(double count, double x, double xx, double y, double xy, double turnX)
    {
        var c = turnX + _newestX;
        var u = x - (c * count);
        var ux = xx - (c * x);
        var (mean, uu) = (u * _perCount, ux - (c * u));
        var (centredUU, centredUX) = (uu - (u * mean), ux - (_all.X * mean));
        return (centredUU, centredUX, centredUU - (centredUX * centredUX * _perXX), xy - (c * y) - (_all.Y * mean) - (centredUX * Slope));
    }
}

/// <summary>A line with a kink at one place.</summary>
/// <param name="TurnX">Where, s relative to the newest point.</param>
/// <param name="Slope">Slope behind it, °C/s.</param>
/// <param name="Turn">By how much the slope changed, °C/s.</param>
/// <param name="Squares">Squares that are left, °C².</param>
/// <param name="SlopeFactor">Variance of the slope behind it for noise of variance 1, s⁻².</param>
internal readonly record struct KinkCandidate(double TurnX, double Slope, double Turn, double Squares, double SlopeFactor);
