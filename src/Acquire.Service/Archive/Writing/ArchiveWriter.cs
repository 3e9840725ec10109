using Acquire.Service.Archive.Database;

namespace Acquire.Service.Archive.Writing;

/// <summary>The one thread that writes. Takes all that waits, commits it in one transaction, and only then says that it is done.</summary>
/// <remarks>
/// When a commit fails, those who wait are told at once and may try again; rows, for which nobody waits, stay and are tried again
/// with growing pauses. Microsoft.Data.Sqlite has no asynchronous writes, hence a thread of its own.
/// </remarks>
internal sealed partial class ArchiveWriter : IAsyncDisposable
{
    private static readonly TimeSpan FirstPause = TimeSpan.FromMilliseconds(250);
    private static readonly TimeSpan LongestPause = TimeSpan.FromSeconds(5);

    private readonly string _path;
    private readonly ArchiveOptions _options;
    private readonly ArchiveQueue _queue;
    private readonly TimeProvider _time;
    private readonly ILogger _logger;
    private readonly WriterDatabase _database;
    private readonly TaskCompletionSource _ended = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private readonly List<ArchiveWork> _pending = [];
    private int _failures;
    private long _drainUntil;
    private long _lastCommit;
    private volatile WriteFailure? _failure;

    public ArchiveWriter(WriterDatabase database, string path, ArchiveOptions options, ArchiveQueue queue, TimeProvider time, ILogger logger)
    {
        (_database, _path, _options, _queue, _time, _logger) = (database, path, options, queue, time, logger);
        new Thread(Run) { IsBackground = true, Name = "archive writer" }.Start();
    }

    /// <summary>Why commits fail; null while they succeed.</summary>
    public WriteFailure? Failure => _failure;

    /// <summary>Age of the newest commit, s; null before the first.</summary>
    public double? SecondsSinceCommit => Interlocked.Read(ref _lastCommit) is not 0 and var at ? _time.GetElapsedTime(at).TotalSeconds : null;

    /// <summary>Takes no more, writes everything that waits, or gives up after <see cref="ArchiveOptions.DrainLimit"/>, and closes the database.</summary>
    public async ValueTask DisposeAsync()
    {
        _queue.Complete();
        await _ended.Task;
    }

    private void Run()
    {
        while (WaitForWork())
        {
            _queue.TakeAll(_pending);
            try
            {
                _database.Commit(_pending);
                Succeeded();
            }
            catch (Exception exception)
            {
                // Whatever it was: the thread that keeps the record goes on, says so, and tries again.
                Failed(exception);
            }
        }

        Close();
        _ended.TrySetResult();
    }

    /// <summary>Waits for what is to be done next; false when all is done, or when a failing disk has had its time.</summary>
    private bool WaitForWork()
    {
        if (_failures == 0)
        {
            return _queue.WaitForWork(_options.CommitInterval);
        }

        if (_queue.Completed)
        {
            return ContinueDraining();
        }

        // A failing archive is probed even with nothing to write, or it would stay "failed" until somebody dares to try.
        _queue.Pause(TimeSpan.FromTicks(Math.Min(LongestPause.Ticks, FirstPause.Ticks << Math.Min(_failures - 1, 8))));
        return true;
    }

    private bool ContinueDraining()
    {
        var now = Environment.TickCount64;
        if (_drainUntil == 0)
        {
            _drainUntil = now + (long)_options.DrainLimit.TotalMilliseconds;
            return true;
        }

        if (now >= _drainUntil || (_pending.Count == 0 && _queue.Depth == 0))
        {
            return false;
        }

        _queue.WaitOut(FirstPause);
        return true;
    }

    private void Succeeded()
    {
        // Out of the list before anything else: whatever happens from here on, nothing is written twice.
        var done = _pending.ToArray();
        _pending.Clear();
        var (failures, failure) = (_failures, _failure);
        (_failures, _failure) = (0, null);
        Interlocked.Exchange(ref _lastCommit, _time.GetTimestamp());
        _queue.Release(done.Sum(work => work.Weight));
        foreach (var awaited in done.OfType<AwaitedWork>())
        {
            awaited.Succeed();
        }

        if (failure is not null)
        {
            Log.Recovered(_logger, failures, (_time.GetUtcNow() - failure.Since).TotalSeconds);
        }

        _database.KeepLogShort();
    }

    private void Failed(Exception exception)
    {
        _failures++;
        _database.Recover(exception);
        var (before, text) = (_failure, SqliteFault.Explain(exception, _path));
        _failure = new WriteFailure(text, before?.Since ?? _time.GetUtcNow());
        TellFailure(new ArchiveUnavailableException($"The archive cannot be written: {text}. Nothing of this was recorded.", exception));
        if (before?.Text != text)
        {
            Log.CommitFailed(_logger, _path, text, _queue.Depth, exception);
        }
    }

    /// <summary>Those who wait for a commit hear that it failed; rows stay.</summary>
    private void TellFailure(ArchiveUnavailableException failure)
    {
        var told = _pending.OfType<AwaitedWork>().ToList();
        _pending.RemoveAll(work => work is AwaitedWork);
        _queue.Release(told.Sum(work => work.Weight));
        foreach (var awaited in told)
        {
            awaited.Fail(failure);
        }
    }

    private void Close()
    {
        // Empty unless the disk refused to the end; what came in after the last attempt is told as well.
        _queue.TakeAll(_pending);
        TellFailure(new ArchiveUnavailableException($"The archive was closed while it could not be written: {_failure?.Text}. Nothing of this was recorded."));
        foreach (var run in _pending.OfType<RowsWork>().GroupBy(work => work.Run.Id))
        {
            Log.RowsLost(_logger, run.Sum(work => work.Rows.Length), run.Key, _failure?.Text);
        }

        _database.Dispose();
    }

    private static partial class Log
    {
        [LoggerMessage(3010, LogLevel.Error, "Archive {Path} cannot be written: {Text}. {Waiting} rows and events wait in memory and are tried again", EventName = "CommitFailed")]
        public static partial void CommitFailed(ILogger logger, string path, string text, int waiting, Exception exception);

        [LoggerMessage(3011, LogLevel.Information, "Archive is written again after {Failures} failed commits in {Seconds:0.0} s; nothing was lost", EventName = "Recovered")]
        public static partial void Recovered(ILogger logger, int failures, double seconds);

        [LoggerMessage(3013, LogLevel.Critical, "{Rows} rows of run {RunId} could not be written before the end and are lost: {Text}", EventName = "RowsLost")]
        public static partial void RowsLost(ILogger logger, int rows, string runId, string? text);
    }
}

/// <summary>Why commits fail.</summary>
/// <param name="Text">The reason, and what to do.</param>
/// <param name="Since">UTC of the first of the failures in a row.</param>
internal sealed record WriteFailure(string Text, DateTimeOffset Since);
