using System.Text.Json.Serialization;

namespace Acquire.Core.Detection;

/// <summary>Averaged points that stand out of the ramp for a moment: a wild reading, a flame that warms the thermometer. Part of a run's snapshot.</summary>
/// <remarks>
/// A point is judged once it is <see cref="JudgedAfterSeconds"/> old, by its distance from the line over some seconds around
/// it. What stands out for longer than <see cref="LongestSeconds"/> is no stray but the course of the specimen.
/// </remarks>
internal sealed class StrayPoints
{
    /// <summary>Age at which a point is judged, s: a hump that lasts a second or two is over then.</summary>
    public const double JudgedAfterSeconds = 3;

    private const double LongestSeconds = 3.5;

    // More deviations than white noise has in a run; and more than a bend of the ramp keeps from a line of 12 s.
    private const double Deviations = 4.5;
    private const double LeastCelsius = 0.12;

    // Points by which the scatter is learnt, and before which nothing is called a stray.
    private const int LearnPoints = 40;
    private const int FirstPoints = 16;

    // Ratio of the standard deviation to the mean absolute deviation of a normal distribution, √(π/2).
    private const double NormalFactor = 1.2533;

    [JsonInclude]
    private bool[] _strays = new bool[RampEstimator.MostPoints];

    [JsonInclude]
    private int _judged;

    [JsonInclude]
    private double _meanDistance;

    [JsonInclude]
    private int _learnt;

    [JsonInclude]
    private double _since = double.NaN;

    /// <summary>Whether a point stands out, by its number in the run.</summary>
    public bool Has(int point) => _strays[point & (RampEstimator.MostPoints - 1)];

    /// <summary>A new point takes the place of an old one.</summary>
    public void Enter(int point) => _strays[point & (RampEstimator.MostPoints - 1)] = false;

    /// <summary>Judges the points that are old enough.</summary>
    /// <param name="times">Times of the points in their places, s.</param>
    /// <param name="values">Their values, °C.</param>
    /// <param name="count">Number of points in the run.</param>
    /// <param name="line">Line over the newest seconds.</param>
    public void Judge(double[] times, double[] values, int count, in LineFit line)
    {
        const int mask = RampEstimator.MostPoints - 1;
        var newest = times[(count - 1) & mask];
        _judged = Math.Max(_judged, count - RampEstimator.MostPoints);
        for (; _judged < count && times[_judged & mask] <= newest - JudgedAfterSeconds; _judged++)
        {
            // Not covered by the line: older than it, after a hole.
            if (Math.Abs(times[_judged & mask] - line.CentreSeconds) <= line.SpanSeconds)
            {
                _strays[_judged & mask] = IsStray(times[_judged & mask], values[_judged & mask] - line.At(times[_judged & mask]));
            }
        }
    }

    private bool IsStray(double seconds, double distance)
    {
        var far = Math.Abs(distance);
        var usual = _meanDistance;
        _learnt = Math.Min(_learnt + 1, LearnPoints);
        _meanDistance += ((_learnt > FirstPoints ? Math.Min(far, 3 * usual) : far) - usual) / _learnt;
        if (_learnt <= FirstPoints || far <= Math.Max(Deviations * NormalFactor * usual, LeastCelsius))
        {
            _since = double.NaN;
            return false;
        }

        _since = double.IsNaN(_since) ? seconds : _since;
        return seconds - _since <= LongestSeconds;
    }
}
