using System.Diagnostics;

namespace Acquire.Benchmarks.Campaigns.Load;

/// <summary>How many messages a reader is done with, as it says from time to time. Thread-safe.</summary>
internal sealed class Progress
{
    private readonly Lock _lock = new();
    private readonly List<(long At, long Count)> _said = [];
    private long _count;

    /// <summary>The newest count.</summary>
    public long Count => Interlocked.Read(ref _count);

    /// <summary>Takes what the reader says.</summary>
    public void Report(long count)
    {
        lock (_lock)
        {
            _said.Add((Stopwatch.GetTimestamp(), count));
        }

        Interlocked.Exchange(ref _count, count);
    }

    /// <summary>Messages a second between two moments, by the first and the last word within them; 0 where there are no two.</summary>
    public double Rate(long from, long to)
    {
        lock (_lock)
        {
            var within = _said.FindAll(said => said.At >= from && said.At <= to);
            return within.Count < 2 ? 0 : (within[^1].Count - within[0].Count) / Stopwatch.GetElapsedTime(within[0].At, within[^1].At).TotalSeconds;
        }
    }

    /// <summary>Waits until a count is reached; false where it was not within the limit.</summary>
    public async Task<bool> ReachesAsync(long count, double limitSeconds)
    {
        var start = Stopwatch.GetTimestamp();
        while (Count < count)
        {
            if (Stopwatch.GetElapsedTime(start).TotalSeconds > limitSeconds)
            {
                return false;
            }

            await Task.Delay(TimeSpan.FromMilliseconds(50), TimeProvider.System);
        }

        return true;
    }
}
