namespace Acquire.Simulator;

/// <summary>How long to wait before trying a wire again: half a second, doubled each time up to ten.</summary>
internal sealed class Backoff(TimeProvider time)
{
    private static readonly TimeSpan First = TimeSpan.FromSeconds(0.5), Longest = TimeSpan.FromSeconds(10);
    private TimeSpan next = First;

    /// <summary>The wait that comes next, s.</summary>
    public double NextSeconds => next.TotalSeconds;

    public void Reset() => next = First;

    public async Task WaitAsync(CancellationToken cancellationToken)
    {
        var now = next;
        next = now * 2 < Longest ? now * 2 : Longest;
        await Task.Delay(now, time, cancellationToken);
    }
}
