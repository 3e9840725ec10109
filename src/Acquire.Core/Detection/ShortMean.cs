using System.Text.Json.Serialization;

namespace Acquire.Core.Detection;

/// <summary>Gathers readings into means over <see cref="WidthSeconds"/>, one after the other; where readings come no closer than that, each is its own mean.</summary>
/// <remarks>So the tests that use them work alike at 10 and at 500 readings a second. Part of a run's snapshot.</remarks>
public sealed class ShortMean
{
    /// <summary>Width of a mean, s.</summary>
    public const double WidthSeconds = 0.02;

    [JsonInclude]
    private double _sum;

    [JsonInclude]
    private int _count;

    /// <summary>Time of the first reading in the newest mean, s.</summary>
    [JsonInclude]
    public double FirstSeconds { get; private set; } = double.NaN;

    /// <summary>Time of the newest reading, s; not a number before the first.</summary>
    [JsonInclude]
    public double NewestSeconds { get; private set; } = double.NaN;

    /// <summary>The newest complete mean, detector's unit.</summary>
    [JsonInclude]
    public double Value { get; private set; } = double.NaN;

    /// <summary>Takes in a reading.</summary>
    /// <param name="seconds">Time, s; later than the one before.</param>
    /// <param name="value">Detector's unit; finite.</param>
    /// <returns>Whether it completes a mean.</returns>
    public bool Add(double seconds, double value)
    {
        var spacing = seconds - NewestSeconds;
        if (spacing >= WidthSeconds - DetectorHistory.RoundingSeconds && (_count == 0 || spacing >= WidthSeconds))
        {
            // A reading that comes so late is a mean by itself.
            (FirstSeconds, NewestSeconds, Value, _sum, _count) = (seconds, seconds, value, value, 0);
            return true;
        }

        if (_count == 0 || !(spacing < WidthSeconds))
        {
            (FirstSeconds, _sum, _count) = (seconds, 0, 0);
        }

        _sum += value;
        _count++;
        NewestSeconds = seconds;

        // The next reading would begin beyond the width: the mean is made now and not one reading later.
        if (seconds - FirstSeconds + spacing < WidthSeconds - DetectorHistory.RoundingSeconds)
        {
            return false;
        }

        Value = _count == 1 ? _sum : _sum / _count;
        _count = 0;
        return true;
    }
}
