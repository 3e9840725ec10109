namespace Acquire.Service.Sources;

/// <summary>A reader of a wire that runs until it is ended, by itself or with all others.</summary>
internal sealed class RunningSource : IDisposable
{
    private readonly CancellationTokenSource _stop;

    /// <param name="runAsync">The reader; ends when told to.</param>
    /// <param name="all">Ends all readers.</param>
    public RunningSource(Func<CancellationToken, Task> runAsync, CancellationToken all)
    {
        _stop = CancellationTokenSource.CreateLinkedTokenSource(all);
        var stopping = _stop.Token;
        Task = Task.Run(() => runAsync(stopping), CancellationToken.None);
    }

    /// <summary>Ends with the reader.</summary>
    public Task Task { get; }

    /// <summary>Ends this reader alone.</summary>
    public async Task EndAsync()
    {
        await _stop.CancelAsync().ConfigureAwait(false);
        await Task.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        _stop.Dispose();
    }

    /// <inheritdoc/>
    public void Dispose() => _stop.Dispose();
}
