using System.Diagnostics;
using Acquire.Service.Live;
using Microsoft.AspNetCore.SignalR.Client;

namespace Acquire.Benchmarks.Campaigns.Load;

/// <summary>Follows runs over live streams and measures from the publishing of each message to the frame that carries it, or one that came after it.</summary>
internal sealed class FrameReader : IAsyncDisposable
{
    // As many as one connection may hold.
    private const int StreamsEach = 8;

    private readonly List<HubConnection> _connections = [];
    private readonly List<Task> _reading = [];
    private readonly CancellationTokenSource _ending = new();
    private readonly Lock _lock = new();
    private readonly List<(int Number, double Seconds)> _delays = [];
    private long _frames;

    /// <summary>Frames that came.</summary>
    public long Frames => Interlocked.Read(ref _frames);

    /// <summary>Follows some runs, eight over each connection.</summary>
    public static async Task<FrameReader> StartAsync(LoadedService service, IReadOnlyList<(string Run, PublishTimes Times)> runs)
    {
        var reader = new FrameReader();
        foreach (var some in runs.Chunk(StreamsEach))
        {
            var connection = await service.ConnectAsync();
            reader._connections.Add(connection);
            reader._reading.AddRange(some.Select(one => reader.FollowAsync(connection, one.Run, one.Times)));
        }

        return reader;
    }

    /// <summary>The delays of each tester's messages from one number to before another, s, shortest first.</summary>
    public double[] Delays(int fromNumber, int to)
    {
        lock (_lock)
        {
            return [.. _delays.Where(delay => delay.Number >= fromNumber && delay.Number < to).Select(delay => delay.Seconds).Order()];
        }
    }

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        await _ending.CancelAsync();
        await Task.WhenAll(_reading);
        foreach (var connection in _connections)
        {
            await connection.DisposeAsync();
        }

        _ending.Dispose();
    }

    private async Task FollowAsync(HubConnection connection, string run, PublishTimes times)
    {
        var seen = 0;
        try
        {
            await foreach (var update in connection.StreamAsync<RunUpdate>("Run", run, 0, 0, _ending.Token))
            {
                var now = Stopwatch.GetTimestamp() / (double)Stopwatch.Frequency;
                Interlocked.Increment(ref _frames);
                if (update.Status is { } status)
                {
                    // The readings of a tester are a tenth of a second apart on its own clock: its time tells which of them it is.
                    seen = Take(times, seen, (int)Math.Round(status.AtSeconds * SteadyLoad.MessagesPerSecond), now);
                }
            }
        }
        catch (OperationCanceledException)
        {
            // Asked for.
        }
    }

    private int Take(PublishTimes times, int seen, int newest, double now)
    {
        lock (_lock)
        {
            for (var count = times.Count; seen < count && seen <= newest; seen++)
            {
                _delays.Add((seen, now - times[seen]));
            }
        }

        return seen;
    }
}

/// <summary>When the messages of one tester were published, s on the machine's monotonic clock. One writer, one reader.</summary>
internal sealed class PublishTimes(int most)
{
    private readonly double[] _times = new double[most];
    private int _count;

    /// <summary>How many were published.</summary>
    public int Count => Volatile.Read(ref _count);

    /// <summary>When one was published, s.</summary>
    public double this[int index] => _times[index];

    /// <summary>Notes one, before it is sent.</summary>
    public void Add(double seconds)
    {
        _times[_count] = seconds;
        Volatile.Write(ref _count, _count + 1);
    }
}
