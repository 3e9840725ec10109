using Acquire.Service.Configuration;

namespace Acquire.Service.Archive.Influx;

/// <summary>Has the archive handed on while the service runs, to where the configuration says; that may change under way.</summary>
public sealed class OutboxHost : IHostedService, IDisposable
{
    private readonly CancellationTokenSource _stopping = new();
    private readonly OutboxOptions _options;
    private readonly TimeProvider _time;
    private readonly ILogger<OutboxHost> _logger;
    private InfluxConfig? _influx;
    private Running? _running;

    /// <param name="influx">The endpoint; null where there is none.</param>
    /// <param name="options">What the outbox is made of.</param>
    /// <param name="time">Clock.</param>
    /// <param name="logger">Told when something stands in the way, and when it is over.</param>
    internal OutboxHost(InfluxConfig? influx, OutboxOptions options, TimeProvider time, ILogger<OutboxHost> logger) =>
        (_influx, _options, _time, _logger) = (influx, options, time, logger);

    /// <summary>How it goes; null where nothing is handed on.</summary>
    public InfluxOverview? Overview => Volatile.Read(ref _running)?.Board.Overview();

    /// <inheritdoc/>
    public Task StartAsync(CancellationToken cancellationToken)
    {
        Begin();
        return Task.CompletedTask;
    }

    /// <inheritdoc/>
    public async Task StopAsync(CancellationToken cancellationToken)
    {
        await _stopping.CancelAsync().ConfigureAwait(false);
        await EndAsync().ConfigureAwait(false);
    }

    /// <inheritdoc/>
    public void Dispose() => _stopping.Dispose();

    /// <summary>Hands on to where the configuration says now. One call at a time.</summary>
    internal async Task TakeAsync(InfluxConfig? influx)
    {
        if (influx != _influx)
        {
            await EndAsync().ConfigureAwait(false);
            _influx = influx;
            Begin();
        }
    }

    private void Begin()
    {
        if (_influx is not { } influx)
        {
            return;
        }

        var board = new OutboxBoard(influx, _time);
        var ending = CancellationTokenSource.CreateLinkedTokenSource(_stopping.Token);
        Volatile.Write(ref _running, new(board, ending, Task.Run(() => RunAsync(new(influx, _options, board, _time, _logger), ending.Token))));
    }

    private static async Task RunAsync(Outbox outbox, CancellationToken cancellationToken)
    {
        using (outbox)
        {
            await outbox.RunAsync(cancellationToken).ConfigureAwait(false);
        }
    }

    private async Task EndAsync()
    {
        if (_running is { } running)
        {
            Volatile.Write(ref _running, null);
            await running.Ending.CancelAsync().ConfigureAwait(false);
            await running.Task.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            running.Ending.Dispose();
        }
    }

    private sealed record Running(OutboxBoard Board, CancellationTokenSource Ending, Task Task);
}
