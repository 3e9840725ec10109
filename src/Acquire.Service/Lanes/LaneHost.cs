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
    private Task _all = Task.CompletedTask;
    private bool _disposed;

    /// <inheritdoc/>
    public Task StartAsync(CancellationToken cancellationToken)
    {
        var stopping = _stopping.Token;
        _all = WatchAsync([.. lanes.All.Select(lane => Task.Run(() => KeepAsync(lane, stopping), CancellationToken.None))], stopping);
        return Task.CompletedTask;
    }

    /// <summary>Has every lane take and archive what waits, then ends.</summary>
    public async Task StopAsync(CancellationToken cancellationToken)
    {
        await _stopping.CancelAsync().ConfigureAwait(false);
        await _all.WaitAsync(cancellationToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        if (!_all.IsCompleted)
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

    private async Task WatchAsync(Task[] running, CancellationToken stopping)
    {
        await Task.WhenAll(running).ConfigureAwait(false);
        if (!stopping.IsCancellationRequested && running.Length > 0)
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
                    return;
                }

                lane.ReportFailure("The program failed in this tester's lane, which was started again. A run that was open is interrupted; its archived readings are safe. Report the log.");
            }

            await Task.Delay(RestartPause, time, stopping).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

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
