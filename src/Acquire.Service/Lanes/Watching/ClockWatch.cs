using System.Globalization;

namespace Acquire.Service.Lanes.Watching;

/// <summary>A change of this computer's clock, or of its local time.</summary>
/// <param name="Code">Stable code.</param>
/// <param name="Text">What changed, by how much, and what it touches.</param>
internal readonly record struct ClockChange(string Code, string Text);

/// <summary>Holds the time of day against the monotonic clock. Intervals and rates never come from the time of day; that it jumped belongs in the record.</summary>
internal sealed class ClockWatch
{
    /// <summary>What a clock is off by, or is slewed by, between two looks is less, s: common practice, no source.</summary>
    public const double LeastJumpSeconds = 1;

    private readonly TimeProvider _time;
    private long _seen;
    private DateTimeOffset _wall;
    private TimeSpan _offset;

    /// <param name="time">Both clocks.</param>
    public ClockWatch(TimeProvider time)
    {
        (_time, _seen, _wall) = (time, time.GetTimestamp(), time.GetUtcNow());
        _offset = time.LocalTimeZone.GetUtcOffset(_wall);
    }

    /// <summary>Looks once, a few times a second.</summary>
    /// <returns>What has changed since the last look; null where nothing has.</returns>
    public ClockChange? Look()
    {
        var (now, wall) = (_time.GetTimestamp(), _time.GetUtcNow());
        var expected = _wall + _time.GetElapsedTime(_seen, now);
        var offset = _time.LocalTimeZone.GetUtcOffset(wall);
        var (jump, before) = ((wall - expected).TotalSeconds, _offset);
        (_seen, _wall, _offset) = (now, wall, offset);
        if (Math.Abs(jump) >= LeastJumpSeconds)
        {
            return new(ServiceAlarmCodes.ClockJumped, string.Create(CultureInfo.InvariantCulture, $"The clock of this computer went {(jump > 0 ? "forward" : "back")} by {Math.Abs(jump):0.0} s, from {expected:yyyy-MM-dd HH:mm:ss} to {wall:yyyy-MM-dd HH:mm:ss} UTC: it was set, or the computer slept. Times within a run, rates and intervals do not come from it and are right; times of day before and after do not fit together."));
        }

        return offset == before ? null
            : new(ServiceAlarmCodes.LocalTimeChanged, string.Create(CultureInfo.InvariantCulture, $"The local time of this computer went from UTC{Shown(before)} to UTC{Shown(offset)}, as at the beginning or the end of daylight-saving time. Records are in UTC: nothing changes in them."));
    }

    private static string Shown(TimeSpan offset) => (offset < TimeSpan.Zero ? "-" : "+") + offset.ToString(@"hh\:mm", CultureInfo.InvariantCulture);
}
