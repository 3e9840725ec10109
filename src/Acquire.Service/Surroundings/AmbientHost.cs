using System.Collections.Concurrent;

namespace Acquire.Service.Surroundings;

/// <summary>Has the shared sources take what arrives.</summary>
public sealed class AmbientHost(AmbientStations stations) : IHostedService, IDisposable
{
    private readonly CancellationTokenSource _stopping = new();
    private readonly ConcurrentDictionary<AmbientStation, Task> _running = new();

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
        await Task.WhenAll(_running.Values).WaitAsync(cancellationToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
    }

    /// <inheritdoc/>
    public void Dispose() => _stopping.Dispose();

    /// <summary>Has one more source take what arrives.</summary>
    internal void Begin(AmbientStation station) => _running.GetOrAdd(station, one => Task.Run(() => one.RunAsync(_stopping.Token), CancellationToken.None));
}
