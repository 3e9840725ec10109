using System.Text.Json.Serialization;

namespace Acquire.Core.Detection;

/// <summary>Averaged points that stand out of the ramp for a moment: a wild reading, a flame that warms the thermometer. Part of a run's snapshot.</summary>
/// <remarks>
/// A point is judged once it is <see cref="JudgedAfterSeconds"/> old, by its distance from the line over some seconds around
/// it, and once more after <see cref="AgainAfterSeconds"/>, when what was found meanwhile does not bend that line any more. What stands out for longer than <see cref="LongestSeconds"/> is no stray but the course of the specimen.
/// </remarks>
internal sealed class StrayPoints
{
    /// <summary>Age at which a point is judged, s: a hump that lasts a second or two is over then.</summary>
    public const double JudgedAfterSeconds = 3;

    private const double AgainAfterSeconds = 6;
    private const double LongestSeconds = 3.5;

    // More deviations than white noise has in a run; and more than a bend of the ramp keeps from a line of 12 s.
    private const double Deviations = 4.5;
    private const double LeastCelsius = 0.12;

    // Points before which nothing is called a stray.
    private const int FirstPoints = 16;

    // Time over which the length of runs is learnt, s.
    private const double LearnRunSeconds = 20;

    // Ratio of the standard deviation to the median absolute deviation of a normal distribution.
    private const double NormalFactor = 1.4826;

    // The median moves by this share with each point; and it does not go below what no thermometer resolves, °C.
    private const double MedianStep = 0.02;
    private const double LeastMedianCelsius = 1e-5;

    [JsonInclude]
    private bool[] _strays = new bool[RampEstimator.MostPoints];

    [JsonInclude]
    private int _judged;

    [JsonInclude]
    private int _judgedAgain;

    [JsonInclude]
    private double _medianDistance;

    [JsonInclude]
    private int _learnt;

    [JsonInclude]
    private double _since = double.NaN;

    // Whether the points have stood out for too long to be strays.
    [JsonInclude]
    private bool _lasts;

    // Time from one change of sign of the distance to the next, in the mean, s, and when the newest was.
    [JsonInclude]
    private double _meanRun;

    [JsonInclude]
    private double _signAt = double.NaN;

    [JsonInclude]
    private bool _above;

    /// <summary>The most that the points feign of a rate in a window, were their distance from the ramp a sawtooth as large and as long as theirs, °C/s; infinite where the window holds fewer than three of its teeth.</summary>
    /// <remarks>
    /// A sawtooth between −a and a with period P moves a slope over W by at most 3 a P/W²: its last, broken tooth counts. So a
    /// coarse display feigns far more than the scatter of its points tells. Half of |distance| lies below a/2; a factor of
    /// four is for the line that has followed part of the sawtooth, and for noise that blurs its teeth. White noise changes
    /// sign with every second point, and nothing comes of it.
    /// </remarks>
    public double Feigned(double windowSeconds)
    {
        var period = 2 * _meanRun;
        return period > windowSeconds / 3 ? double.PositiveInfinity : 3 * 2 * 4 * _medianDistance * period / (windowSeconds * windowSeconds);
    }

    /// <summary>Whether each point stands out, in the places of the points.</summary>
    [JsonIgnore]
    public bool[] Flags => _strays;

    /// <summary>Whether a point stands out, by its number in the run.</summary>
    public bool Has(int point) => _strays[point & (RampEstimator.MostPoints - 1)];

    /// <summary>A new point takes the place of an old one.</summary>
    public void Enter(int point) => _strays[point & (RampEstimator.MostPoints - 1)] = false;

    /// <summary>Judges the points that are old enough.</summary>
    /// <param name="times">Times of the points in their places, s.</param>
    /// <param name="values">Their values, °C.</param>
    /// <param name="count">Number of points in the run.</param>
    /// <param name="line">Line over the newest seconds, without the newest point.</param>
    /// <returns>Whether any is now what it was not before.</returns>
    public bool Judge(double[] times, double[] values, int count, in LineFit line)
    {
        const int mask = RampEstimator.MostPoints - 1;
        var (newest, changed) = (times[(count - 1) & mask], false);
        (_judged, _judgedAgain) = (Math.Max(_judged, count - RampEstimator.MostPoints), Math.Max(_judgedAgain, count - RampEstimator.MostPoints));
        for (; _judged < count && times[_judged & mask] <= newest - JudgedAfterSeconds; _judged++)
        {
            // Not covered by the line: older than it, after a hole.
            if (Math.Abs(times[_judged & mask] - line.CentreSeconds) <= line.SpanSeconds)
            {
                changed |= Mark(_judged & mask, IsStray(times[_judged & mask], values[_judged & mask] - line.At(times[_judged & mask])));
            }
        }

        for (; _judgedAgain < _judged && times[_judgedAgain & mask] <= newest - AgainAfterSeconds; _judgedAgain++)
        {
            if (!_lasts && _learnt == FirstPoints && Math.Abs(times[_judgedAgain & mask] - line.CentreSeconds) <= line.SpanSeconds)
            {
                changed |= Mark(_judgedAgain & mask, Math.Abs(values[_judgedAgain & mask] - line.At(times[_judgedAgain & mask])) > Limit);
            }
        }

        return changed;
    }

    private bool Mark(int at, bool stray)
    {
        var changed = _strays[at] != stray;
        _strays[at] = stray;
        return changed;
    }

    // What is farther off is a stray, °C.
    private double Limit => Math.Max(Deviations * NormalFactor * _medianDistance, LeastCelsius);

    private bool IsStray(double seconds, double distance)
    {
        Turn(seconds, distance > 0);
        var far = Math.Abs(distance);
        var usual = _medianDistance;
        if (_learnt < FirstPoints)
        {
            _learnt++;
            _medianDistance += (far - usual) / _learnt;
            return false;
        }

        if (far <= Limit)
        {
            (_since, _lasts) = (double.NaN, false);
        }
        else
        {
            _since = double.IsNaN(_since) ? seconds : _since;
            _lasts = seconds - _since > LongestSeconds;
        }

        // Humps at every application must not raise it: strays teach nothing, and each other point moves it up or down by the
        // same share, however far it lies.
        var stray = far > Limit && !_lasts;
        _medianDistance = stray ? usual : Math.Max(LeastMedianCelsius, usual * (far > usual ? 1 + MedianStep : 1 - MedianStep));
        return stray;
    }

    private void Turn(double seconds, bool above)
    {
        if (above == _above)
        {
            return;
        }

        // Shorter runs than the mean teach as much of it as they are long.
        var run = seconds - _signAt;
        _meanRun += double.IsNaN(run) ? 0 : Math.Min(1, run / LearnRunSeconds) * (run - _meanRun);
        (_above, _signAt) = (above, seconds);
    }
}
