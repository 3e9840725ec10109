namespace Acquire.Service.Live;

/// <summary>Says that something is newer than what a reader has seen. One writer, any number of waiting readers.</summary>
internal sealed class ChangeSignal
{
    private readonly Lock _lock = new();
    private TaskCompletionSource? _waiting;
    private long _version;

    /// <summary>Number of changes so far. Read it before the data, then wait with it: no change is missed.</summary>
    public long Version => Interlocked.Read(ref _version);

    /// <summary>States a change and wakes everyone who waits.</summary>
    public void Raise()
    {
        TaskCompletionSource? waiting;
        lock (_lock)
        {
            Interlocked.Increment(ref _version);
            (waiting, _waiting) = (_waiting, null);
        }

        waiting?.SetResult();
    }

    /// <summary>Completes once the version differs from the one seen.</summary>
    public Task NewerThan(long seen)
    {
        lock (_lock)
        {
            if (Interlocked.Read(ref _version) != seen)
            {
                return Task.CompletedTask;
            }

            // Readers continue on the pool: the lane that raises the signal never runs their code.
            _waiting ??= new(TaskCreationOptions.RunContinuationsAsynchronously);
            return _waiting.Task;
        }
    }
}
