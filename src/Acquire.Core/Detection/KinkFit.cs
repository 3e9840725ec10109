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
    private readonly double _xx;
    private readonly double _slope;

    public KinkFit(in RampMoments all)
    {
        _all = all;
        _xx = all.XX - (all.X * all.X / all.Count);
        var xy = all.XY - (all.X * all.Y / all.Count);
        _slope = xy / _xx;
        Slope = _slope;
        LineSquares = Math.Max(0, all.YY - (all.Y * all.Y / all.Count) - (_slope * xy)) + (all.Count * LeastScatterCelsius * LeastScatterCelsius);
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
    public double Significance(in KinkCandidate kink) => Freedom * ((LineSquares / kink.Squares) - 1);

    /// <summary>The best line with a kink behind which some of the points lie.</summary>
    /// <param name="behind">Sums over these points.</param>
    public KinkCandidate At(in RampMoments behind)
    {
        var c = behind.TurnX;
        var u = behind.X - (c * behind.Count);
        var ux = behind.XX - (c * behind.X);
        var uu = ux - (c * u);
        var uy = behind.XY - (c * behind.Y);
        var perCount = 1 / _all.Count;
        var centredUU = uu - (u * u * perCount);
        var centredUX = ux - (u * _all.X * perCount);
        var left = centredUU - (centredUX * centredUX / _xx);
        var turn = (uy - (u * _all.Y * perCount) - (centredUX * _slope)) / left;
        return new KinkCandidate(
            c,
            _slope + (turn * (1 - (centredUX / _xx))),
            turn,
            LineSquares - (turn * turn * left),
            (centredUU - (2 * centredUX) + _xx) / (_xx * left));
    }
}

/// <summary>A line with a kink at one place.</summary>
/// <param name="TurnX">Where, s relative to the newest point.</param>
/// <param name="Slope">Slope behind it, °C/s.</param>
/// <param name="Turn">By how much the slope changed, °C/s.</param>
/// <param name="Squares">Squares that are left, °C².</param>
/// <param name="SlopeFactor">Variance of the slope behind it for noise of variance 1, s⁻².</param>
internal readonly record struct KinkCandidate(double TurnX, double Slope, double Turn, double Squares, double SlopeFactor);
