using System.Text.Json.Serialization;

namespace Acquire.Core.Thermometry;

/// <summary>Learns how often a value changes, to notice when it no longer does.</summary>
/// <remarks>
/// A coarse converter repeats itself for seconds on a steady ramp and for minutes in an idle cup, so how long is too long is
/// learnt from the changes before: of a value that has not changed often enough nothing is known. Part of a run's snapshot.
/// </remarks>
internal sealed class ValueRhythm
{
    // Below this many changes nothing is known about how often the value changes.
    private const int FewestChanges = 20;

    // By time and not by change: a value that flickers between two counts must not forget the rest between two flickers.
    private const double RemembersSeconds = 300;

    [JsonInclude]
    private double _value;

    [JsonInclude]
    private double _longestPause;

    [JsonInclude]
    private int _changes;

    /// <summary>When the value last changed, s; not a number before the first.</summary>
    [JsonInclude]
    public double ChangedAt { get; private set; } = double.NaN;

    /// <summary>Takes a value.</summary>
    /// <param name="atSeconds">Its time, s; not before the one before.</param>
    /// <param name="value">In any unit.</param>
    public void Take(double atSeconds, double value)
    {
        if (value == _value && !double.IsNaN(ChangedAt))
        {
            return;
        }

        if (!double.IsNaN(ChangedAt))
        {
            _changes++;
            var pause = atSeconds - ChangedAt;
            _longestPause = Math.Max(pause, _longestPause * Math.Max(0, 1 - (pause / RemembersSeconds)));
        }

        (_value, ChangedAt) = (value, atSeconds);
    }

    /// <summary>Whether the value has been the same for longer than it should at a time.</summary>
    /// <param name="atSeconds">The time, s.</param>
    /// <param name="leastSeconds">Shorter is never too long, s.</param>
    /// <param name="pauses">Nor is up to so many of the longest pauses of late.</param>
    public bool IsOverdue(double atSeconds, double leastSeconds, double pauses) =>
        _changes >= FewestChanges && atSeconds - ChangedAt > Math.Max(leastSeconds, pauses * _longestPause);
}
