namespace Acquire.Service.Archive.Writing;

/// <summary>What waits to be written: bounded by weight, strictly in order of arrival, any number of writers, one reader thread.</summary>
/// <remarks>
/// Work keeps its share of the queue until it is committed, so work that is being tried again counts too.
/// Waits here are on the machine's clock: how long a disk takes has nothing to do with the time of a run.
/// </remarks>
internal sealed class ArchiveQueue(int capacity)
{
    private readonly object _gate = new();
    private readonly Queue<ArchiveWork> _work = new();
    private readonly LinkedList<Waiter> _waiters = new();
    private int _weight;
    private int _awaited;
    private bool _completed;

    public int Capacity => capacity;

    /// <summary>Weight of all that is not yet committed.</summary>
    public int Depth => Volatile.Read(ref _weight);

    /// <summary>True when nothing more is accepted.</summary>
    public bool Completed
    {
        get
        {
            lock (_gate)
            {
                return _completed;
            }
        }
    }

    /// <summary>Hands work over; the task completes when the queue has taken it. Throws <see cref="ObjectDisposedException"/> once completed.</summary>
    public ValueTask AddAsync(ArchiveWork work, CancellationToken cancellationToken)
    {
        cancellationToken.ThrowIfCancellationRequested();
        LinkedListNode<Waiter> node;
        lock (_gate)
        {
            ObjectDisposedException.ThrowIf(_completed, typeof(RunArchive));
            if (_waiters.Count == 0 && Fits(work))
            {
                Admit(work);
                return ValueTask.CompletedTask;
            }

            node = _waiters.AddLast(new Waiter(work));
        }

        return new ValueTask(WaitAsync(node, cancellationToken));
    }

    /// <summary>Blocks until there is work that should be committed now; false when there is none and never will be.</summary>
    /// <param name="groupFor">Rows wait this long for others; awaited work and a half-full queue do not wait.</param>
    public bool WaitForWork(TimeSpan groupFor)
    {
        lock (_gate)
        {
            while (_work.Count == 0 && !_completed)
            {
                Monitor.Wait(_gate);
            }

            WaitWhile(groupFor, () => !_completed && _awaited == 0 && _weight < capacity / 2);
            return _work.Count > 0;
        }
    }

    /// <summary>Blocks for the time given, or until the queue is completed.</summary>
    public void Pause(TimeSpan time)
    {
        lock (_gate)
        {
            WaitWhile(time, () => !_completed);
        }
    }

    /// <summary>Blocks for the time given, completed or not.</summary>
    public void WaitOut(TimeSpan time)
    {
        lock (_gate)
        {
            WaitWhile(time, () => true);
        }
    }

    /// <summary>Moves all waiting work to the list. It keeps its share of the queue until <see cref="Release"/>.</summary>
    public void TakeAll(List<ArchiveWork> into)
    {
        lock (_gate)
        {
            into.AddRange(_work);
            _work.Clear();
            _awaited = 0;
        }
    }

    /// <summary>Work of this weight is done with; those who wait for room may go on.</summary>
    public void Release(int weight)
    {
        lock (_gate)
        {
            _weight -= weight;
            while (_waiters.First is { } first && Fits(first.Value.Work))
            {
                _waiters.RemoveFirst();
                Admit(first.Value.Work);
                first.Value.Admitted.TrySetResult();
            }
        }
    }

    /// <summary>Nothing more is accepted; those who still wait for room are turned away.</summary>
    public void Complete()
    {
        lock (_gate)
        {
            _completed = true;
            foreach (var waiter in _waiters)
            {
                waiter.Admitted.TrySetException(new ObjectDisposedException(nameof(RunArchive)));
            }

            _waiters.Clear();
            Monitor.PulseAll(_gate);
        }
    }

    private bool Fits(ArchiveWork work) => _weight == 0 || _weight + work.Weight <= capacity;

    private void Admit(ArchiveWork work)
    {
        _work.Enqueue(work);
        _weight += work.Weight;
        _awaited += work is AwaitedWork ? 1 : 0;
        // Rows that only join others need not wake the writer.
        if (_work.Count == 1 || work is AwaitedWork || _weight >= capacity / 2)
        {
            Monitor.Pulse(_gate);
        }
    }

    private async Task WaitAsync(LinkedListNode<Waiter> node, CancellationToken cancellationToken)
    {
        await using var registration = cancellationToken.UnsafeRegister(_ => Withdraw(node, cancellationToken), null);
        await node.Value.Admitted.Task;
    }

    private void Withdraw(LinkedListNode<Waiter> node, CancellationToken cancellationToken)
    {
        lock (_gate)
        {
            if (node.List is not null)
            {
                _waiters.Remove(node);
                node.Value.Admitted.TrySetCanceled(cancellationToken);
            }
        }
    }

    private void WaitWhile(TimeSpan time, Func<bool> condition)
    {
        var until = Environment.TickCount64 + (long)time.TotalMilliseconds;
        while (condition() && until - Environment.TickCount64 is > 0 and var left)
        {
            Monitor.Wait(_gate, TimeSpan.FromMilliseconds(left));
        }
    }

    private sealed record Waiter(ArchiveWork Work)
    {
        public TaskCompletionSource Admitted { get; } = new(TaskCreationOptions.RunContinuationsAsynchronously);
    }
}
