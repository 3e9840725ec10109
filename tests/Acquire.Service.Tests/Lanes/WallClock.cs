using Microsoft.Extensions.Time.Testing;

namespace Acquire.Service.Tests.Lanes;

/// <summary>Virtual time whose time of day can be set without its monotonic clock, as on a real computer.</summary>
internal sealed class WallClock(FakeTimeProvider inner, TimeZoneInfo zone) : TimeProvider
{
    /// <summary>How far the time of day is off.</summary>
    public TimeSpan Off { get; set; }

    public override TimeZoneInfo LocalTimeZone => zone;

    public override long TimestampFrequency => inner.TimestampFrequency;

    public override DateTimeOffset GetUtcNow() => inner.GetUtcNow() + Off;

    public override long GetTimestamp() => inner.GetTimestamp();

    public override ITimer CreateTimer(TimerCallback callback, object? state, TimeSpan dueTime, TimeSpan period) => inner.CreateTimer(callback, state, dueTime, period);
}
