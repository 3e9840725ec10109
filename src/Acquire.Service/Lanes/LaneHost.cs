namespace Acquire.Service.Lanes;

/// <summary>Runs the lanes. A lane that fails is started again without touching the others; when none is left, the program ends with a failure.</summary>
public sealed partial class LaneHost(LaneSet lanes, IHostApplicationLifetime lifetime, TimeProvider time, ILogger<LaneHost> logger) : IHostedService, IDisposable
{
    /// <summary>A lane that fails this often, each time within <see cref="HealthyTime"/>, is given up.</summary>
    public const int MostFailures = 5;

    /// <summary>A lane that ran this long counts as healthy again.</summary>
    public static readonly TimeSpan HealthyTime = TimeSpan.FromMinutes(1);

    private static readonly TimeSpan RestartPause = TimeSpan.FromSeconds(1);

    private readonly CancellationTokenSource _stopping = new();
    private readonly Lock _lock = new();
    private readonly Dictionary<Lane, Running> _running = [];
    private bool _disposed;

    /// <inheritdoc/>
    public Task StartAsync(CancellationToken cancellationToken)
    {
        lock (_lock)
        {
            foreach (var lane in lanes.All)
            {
                Begin(lane);
            }
        }

        return Task.CompletedTask;
    }

    /// <summary>Runs one more lane from now on.</summary>
    internal void Begin(Lane lane)
    {
        lock (_lock)
        {
            var ending = CancellationTokenSource.CreateLinkedTokenSource(_stopping.Token);
            var token = ending.Token;
            _running.Add(lane, new(ending, Task.Run(() => KeepAsync(lane, token), CancellationToken.None)));
        }
    }

    /// <summary>Whether a lane runs: it was not given up.</summary>
    internal bool Runs(Lane lane)
    {
        lock (_lock)
        {
            return _running.TryGetValue(lane, out var running) && !running.Task.IsCompleted;
        }
    }

    /// <summary>Ends one lane once it has taken and archived what waits. Its source has ended before.</summary>
    internal async Task EndAsync(Lane lane)
    {
        Running? running;
        lock (_lock)
        {
            _running.Remove(lane, out running);
        }

        if (running is not null)
        {
            await running.Ending.CancelAsync().ConfigureAwait(false);
            await running.Task.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            running.Ending.Dispose();
        }
    }

    /// <summary>Has every lane take and archive what waits, then ends.</summary>
    public async Task StopAsync(CancellationToken cancellationToken)
    {
        await _stopping.CancelAsync().ConfigureAwait(false);
        Task all;
        lock (_lock)
        {
            all = Task.WhenAll(_running.Values.Select(running => running.Task));
        }

        await all.WaitAsync(cancellationToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        if (!all.IsCompleted)
        {
            Log.NotDrained(logger);
        }
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        // The container knows it by two names and ends it twice.
        if (_disposed)
        {
            return;
        }

        _disposed = true;
        _stopping.Cancel();
        _stopping.Dispose();
    }

    // A service none of whose testers is recorded any more is of no use, and says so to whoever started it.
    private void GaveUp(Lane lane, CancellationToken stopping)
    {
        bool last;
        lock (_lock)
        {
            last = _running.All(running => running.Key == lane || running.Value.Task.IsCompleted);
        }

        if (last && !stopping.IsCancellationRequested)
        {
            Log.AllLost(logger);
            Environment.ExitCode = 1;
            lifetime.StopApplication();
        }
    }

    // The one place where a bug in a lane is caught: one tester's trouble must not become another's.
    private async Task KeepAsync(Lane lane, CancellationToken stopping)
    {
        for (var failures = 0; !stopping.IsCancellationRequested;)
        {
            var started = time.GetTimestamp();
            try
            {
                await lane.RunAsync(stopping).ConfigureAwait(false);
                return;
            }
            catch (Exception exception)
            {
                failures = time.GetElapsedTime(started) >= HealthyTime ? 1 : failures + 1;
                Log.LaneFailed(logger, exception, lane.TesterId, failures);
                if (failures >= MostFailures)
                {
                    lane.ReportFailure("The program failed in this tester's lane again and again and gave it up. Nothing is recorded from this tester: restart the service and report the log.");
                    GaveUp(lane, stopping);
                    return;
                }

                lane.ReportFailure("The program failed in this tester's lane, which was started again. A run that was open is interrupted; its archived readings are safe. Report the log.");
            }

            await Task.Delay(RestartPause, time, stopping).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    private sealed record Running(CancellationTokenSource Ending, Task Task);

    private static partial class Log
    {
        [LoggerMessage(1020, LogLevel.Critical, "Tester {TesterId}: its lane failed, {Failures} times in a row")]
        public static partial void LaneFailed(ILogger logger, Exception exception, string testerId, int failures);

        [LoggerMessage(1021, LogLevel.Critical, "No lane is left; the service ends")]
        public static partial void AllLost(ILogger logger);

        [LoggerMessage(1022, LogLevel.Critical, "The lanes did not archive everything that waited before the time to stop was over")]
        public static partial void NotDrained(ILogger logger);
    }
}
