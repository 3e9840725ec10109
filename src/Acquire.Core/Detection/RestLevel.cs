using System.Text.Json.Serialization;

namespace Acquire.Core.Detection;

/// <summary>Follows the level of a detector at rest and its drift.</summary>
/// <remarks>
/// A line that is corrected by each short mean, but by no more than a limit, so that neither wild readings nor the beginning of
/// an ignition carry it away. A steady drift leaves no error. Part of a run's snapshot.
/// </remarks>
public sealed class RestLevel
{
    // Time in which the level follows, and twice of it for the drift, which is critical damping, s.
    private const double FollowSeconds = 1.5;

    // Downwards, while a detector comes to rest after a pass, s.
    private const double SettleSeconds = 0.3;

    // A drift is not carried on for longer than this through a stretch that is not looked at, s.
    private const double LongestStepSeconds = 5;

    // A mean stands for no more than this, however long nothing came, s.
    private const double LongestGapSeconds = 0.2;

    [JsonInclude]
    private double _level = double.NaN;

    [JsonInclude]
    private double _slope;

    /// <summary>Level, detector's unit; not a number before it is known.</summary>
    public double Level => _level;

    /// <summary>Takes a level as the one at rest, without drift.</summary>
    public void Set(double level) => (_level, _slope) = (level, 0);

    /// <summary>Raises the level, drift unchanged.</summary>
    public void Raise(double by) => _level += by;

    /// <summary>Time passes.</summary>
    /// <param name="seconds">Since the last step, s.</param>
    public void Drift(double seconds) => _level += _slope * double.MinNative(seconds, LongestStepSeconds);

    /// <summary>Corrects level and drift by a short mean.</summary>
    /// <param name="seconds">Since the last one, s.</param>
    /// <param name="height">The mean above the level, detector's unit.</param>
    /// <param name="settles">Height from which the detector may still be coming down after a pass; not a number where it is at rest.</param>
    /// <param name="limit">Largest error that is believed, detector's unit.</param>
    public void Correct(double seconds, double height, double settles, double limit)
    {
        var step = double.MinNative(seconds, LongestGapSeconds);
        var error = double.ClampNative(height, -limit, limit);
        _level += error * step / FollowSeconds;
        if (double.IsNaN(settles))
        {
            _slope += error * step / (4 * FollowSeconds * FollowSeconds);
        }
        else
        {
            _level += double.MinNative(0, settles + limit) * double.MinNative(1, step / SettleSeconds);
        }
    }
}
