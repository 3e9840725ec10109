namespace Acquire.Core.Detection;

/// <summary>What a line, with a kink or without, leaves of the points of a window.</summary>
internal readonly ref struct RampResidue
{
    // A hump, as of a flame that warms the thermometer for a moment, is at most so long and lies at most so far back, s.
    private const double LongestHumpSeconds = 3;
    private const double OldestHumpSeconds = 12;

    // A correlation up to this is chance in white noise.
    private const double ChanceCorrelation = 0.1;

    // Beyond this the noise cannot be told from a course of the specimen.
    private const double HighestCorrelation = 0.97;

    // Squares that rounding alone may leave, °C².
    private const double LeastSquares = 1e-9;

    private readonly ReadOnlySpan<double> _x;
    private readonly ReadOnlySpan<double> _weights;
    private readonly Span<double> _left;
    private readonly double _meanX;
    private readonly double _weight;

    /// <param name="x">Times relative to the newest point, the newest first, s.</param>
    /// <param name="y">Values relative to it, °C.</param>
    /// <param name="weights">Their weights.</param>
    /// <param name="slope">Slope before the kink, °C/s.</param>
    /// <param name="turn">By how much the slope changes there; 0: no kink.</param>
    /// <param name="turnX">Where, s relative to the newest point.</param>
    /// <param name="left">Room for what is left, as long as the points.</param>
    public RampResidue(ReadOnlySpan<double> x, ReadOnlySpan<double> y, ReadOnlySpan<double> weights, double slope, double turn, double turnX, Span<double> left)
    {
        double mean = 0, meanX = 0, weight = 0;
        for (var i = 0; i < x.Length; i++)
        {
            left[i] = y[i] - (slope * x[i]) - (turn * Math.Max(0, x[i] - turnX));
            mean += weights[i] * left[i];
            meanX += weights[i] * x[i];
            weight += weights[i];
        }

        // The intercept follows from the mean of what is left being nothing.
        mean /= weight;
        Squares = LeastSquares;
        double products = 0, squares = LeastSquares, before = 0;
        for (var i = 0; i < x.Length; i++)
        {
            left[i] -= mean;
            Squares += weights[i] * left[i] * left[i];
            squares += left[i] * left[i];
            products += left[i] * before;
            before = left[i];
        }

        _x = x;
        _weights = weights;
        _left = left;
        _meanX = meanX / weight;
        _weight = weight;
        var correlation = Math.Clamp((products / squares) - ChanceCorrelation, 0, HighestCorrelation);
        Memory = (1 + correlation) / (1 - correlation);
    }

    /// <summary>Sum of squares, °C².</summary>
    public double Squares { get; }

    /// <summary>How many times the variance of a slope exceeds that in white noise: (1 + ρ)/(1 − ρ), for the correlation ρ of neighbours.</summary>
    public double Memory { get; }

    /// <summary>The squares that a hump of any height saves at its best place, °C².</summary>
    /// <param name="spread">Sum of squares of the times about their mean where the slope is fitted anew with the hump, s²; infinite where it is fixed.</param>
    public double Hump(double spread)
    {
        var best = 0.0;
        for (var to = 0; to < _x.Length && _x[to] > -OldestHumpSeconds; to++)
        {
            double sum = 0, sumX = 0, m = 0;
            for (var from = to; from < _x.Length && _x[to] - _x[from] <= LongestHumpSeconds; from++)
            {
                sum += _weights[from] * _left[from];
                sumX += _weights[from] * (_x[from] - _meanX);
                m += _weights[from];
                best = Math.Max(best, sum * sum / (m - (m * m / _weight) - (sumX * sumX / spread)));
            }
        }

        return best;
    }

    /// <summary>The squares that a bend saves, the ramp of a rate that grows evenly all the time, where a straight line was fitted, °C².</summary>
    public double Bend()
    {
        double two = 0, three = 0, four = 0, with = 0;
        for (var i = 0; i < _x.Length; i++)
        {
            var d = _x[i] - _meanX;
            var w = _weights[i] * d * d;
            two += w;
            three += w * d;
            four += w * d * d;
            with += w * _left[i];
        }

        return with * with / (four - (two * two / _weight) - (three * three / two));
    }
}
