using Acquire.Service.Sources;

namespace Acquire.Service.Surroundings;

/// <summary>Has the shared sources take what arrives.</summary>
public sealed class AmbientHost(AmbientStations stations) : IHostedService, IDisposable
{
    private readonly CancellationTokenSource _stopping = new();
    private readonly Lock _lock = new();
    private readonly Dictionary<AmbientStation, RunningSource> _running = [];

    /// <inheritdoc/>
    public Task StartAsync(CancellationToken cancellationToken)
    {
        foreach (var station in stations.All)
        {
            Begin(station);
        }

        return Task.CompletedTask;
    }

    /// <inheritdoc/>
    public async Task StopAsync(CancellationToken cancellationToken)
    {
        await _stopping.CancelAsync().ConfigureAwait(false);
        Task all;
        lock (_lock)
        {
            all = Task.WhenAll(_running.Values.Select(running => running.Task));
        }

        await all.WaitAsync(cancellationToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
    }

    /// <inheritdoc/>
    public void Dispose() => _stopping.Dispose();

    /// <summary>Has one more source take what arrives.</summary>
    internal void Begin(AmbientStation station)
    {
        lock (_lock)
        {
            _running.Add(station, new(station.RunAsync, _stopping.Token));
        }
    }

    /// <summary>Ends one source.</summary>
    internal Task EndAsync(AmbientStation station)
    {
        lock (_lock)
        {
            return _running.Remove(station, out var running) ? running.EndAsync() : Task.CompletedTask;
        }
    }
}
