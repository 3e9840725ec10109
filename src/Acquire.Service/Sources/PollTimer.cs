namespace Acquire.Service.Sources;

/// <summary>When one poll is due: at equal distances from the beginning. What was not made by the time the next is due is not made up for, but counted.</summary>
/// <param name="time">Clock.</param>
/// <param name="begun">Timestamp of the first.</param>
/// <param name="period">From one to the next.</param>
internal sealed class PollTimer(TimeProvider time, long begun, TimeSpan period)
{
    private long _next;
    private TimeSpan _notBefore;

    /// <summary>Until it is due; none or less where it is.</summary>
    public TimeSpan Left => Due - Elapsed;

    /// <summary>When it is due, since the beginning: of timers with one beginning, the least is the next one.</summary>
    public TimeSpan Due => Later(period * _next, _notBefore);

    private TimeSpan Elapsed => time.GetElapsedTime(begun);

    /// <summary>Goes on to the first one that lies ahead.</summary>
    /// <returns>How many lie behind, the one that was due among them.</returns>
    public long Advance()
    {
        var before = _next;
        _next = Math.Max(_next, (long)Math.Floor(Elapsed / period) + 1);
        return _next - before;
    }

    /// <summary>Holds the next ones back.</summary>
    /// <param name="rest">From now on.</param>
    public void Rest(TimeSpan rest) => _notBefore = Later(_notBefore, Elapsed + rest);

    private static TimeSpan Later(TimeSpan one, TimeSpan other) => one > other ? one : other;
}
