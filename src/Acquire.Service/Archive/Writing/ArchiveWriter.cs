using Acquire.Service.Archive.Database;
using Microsoft.Data.Sqlite;

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
    private static readonly TimeSpan BetweenTruncations = TimeSpan.FromSeconds(10);

    private readonly string _path;
    private readonly ArchiveOptions _options;
    private readonly ArchiveQueue _queue;
    private readonly TimeProvider _time;
    private readonly ILogger _logger;
    private readonly TaskCompletionSource _ended = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private readonly List<ArchiveWork> _pending = [];
    private ArchiveStatements? _statements;
    private int _failures;
    private long _drainUntil;
    private long _lastTruncation;
    private long _lastCommit;
    private long _largestBytes = -1;
    private long _appliedLargestBytes = -1;
    private volatile WriteFailure? _failure;

    public ArchiveWriter(SqliteConnection connection, string path, ArchiveOptions options, ArchiveQueue queue, TimeProvider time, ILogger logger)
    {
        (_path, _options, _queue, _time, _logger) = (path, options, queue, time, logger);
        _statements = new ArchiveStatements(connection);
        _lastTruncation = time.GetTimestamp();
        new Thread(Run) { IsBackground = true, Name = "archive writer" }.Start();
    }

    /// <summary>Why commits fail; null while they succeed.</summary>
    public WriteFailure? Failure => _failure;

    /// <summary>Age of the newest commit, s; null before the first.</summary>
    public double? SecondsSinceCommit => Interlocked.Read(ref _lastCommit) is not 0 and var at ? _time.GetElapsedTime(at).TotalSeconds : null;

    /// <summary>Largest size the database file may reach, bytes; null for no limit but the disk's. Holds from the next commit on.</summary>
    public long? LargestBytes
    {
        get => Interlocked.Read(ref _largestBytes) is >= 0 and var bytes ? bytes : null;
        set => Interlocked.Exchange(ref _largestBytes, value ?? -1);
    }

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
                CommitPending();
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

    private void CommitPending()
    {
        var statements = _statements ??= new ArchiveStatements(ArchiveConnection.OpenWriter(_path, create: false));
        ApplySizeLimit(statements);
        var stages = new Dictionary<OpenRun, RunStage>();
        RunStage StageOf(OpenRun run) => stages.TryGetValue(run, out var stage) ? stage : stages[run] = new RunStage(run, _options.ChunkRows);

        statements.Begin();
        foreach (var rows in _pending.OfType<RowsWork>())
        {
            StageOf(rows.Run).Add(rows.Rows);
        }

        foreach (var stage in stages.Values)
        {
            stage.WriteChunks(statements);
        }

        foreach (var awaited in _pending.OfType<AwaitedWork>())
        {
            awaited.Write(statements, StageOf);
        }

        if (_pending.Count == 0)
        {
            statements.Probe(_time.GetUtcNow());
        }

        statements.Commit();
        foreach (var stage in stages.Values)
        {
            stage.Committed();
        }
    }

    private void Succeeded()
    {
        Interlocked.Exchange(ref _lastCommit, _time.GetTimestamp());
        if (_failure is { } failure)
        {
            Log.Recovered(_logger, _failures, (_time.GetUtcNow() - failure.Since).TotalSeconds);
        }

        (_failures, _failure) = (0, null);
        _queue.Release(_pending.Sum(work => work.Weight));
        foreach (var awaited in _pending.OfType<AwaitedWork>())
        {
            awaited.Succeed();
        }

        _pending.Clear();
        KeepLogShort();
    }

    private void Failed(Exception exception)
    {
        _failures++;
        Recoverable(exception);
        var text = SqliteFault.Explain(exception, _path);
        if (_failure?.Text != text)
        {
            Log.CommitFailed(_logger, _path, text, _queue.Depth, exception);
        }

        _failure = new WriteFailure(text, _failure?.Since ?? _time.GetUtcNow());
        var told = _pending.OfType<AwaitedWork>().ToList();
        _pending.RemoveAll(work => work is AwaitedWork);
        _queue.Release(told.Sum(work => work.Weight));
        foreach (var awaited in told)
        {
            awaited.Fail(new ArchiveUnavailableException($"The archive cannot be written: {text}. Nothing of this was recorded.", exception));
        }
    }

    /// <summary>Leaves the connection ready for the next attempt, or drops it so that the next attempt opens a new one.</summary>
    private void Recoverable(Exception exception)
    {
        try
        {
            if (_statements is null)
            {
                return;
            }

            _statements.Rollback();
            if (SqliteFault.ConnectionSurvives(exception))
            {
                return;
            }
        }
        catch (SqliteException)
        {
            // A rollback that fails leaves a connection of which nothing is known: dropped below. The first fault is the one that is reported.
        }

        DropConnection();
    }

    private void DropConnection()
    {
        var dropped = _statements;
        (_statements, _appliedLargestBytes) = (null, -1);
        try
        {
            dropped?.Dispose();
        }
        catch (SqliteException exception)
        {
            Log.CloseFailed(_logger, _path, exception);
        }
    }

    private void ApplySizeLimit(ArchiveStatements statements)
    {
        var wanted = Interlocked.Read(ref _largestBytes);
        if (wanted != _appliedLargestBytes)
        {
            statements.LimitSize(wanted >= 0 ? wanted : null);
            _appliedLargestBytes = wanted;
        }
    }

    // SQLite copies the log by itself; only a long read can keep it from starting over, and then it grows.
    private void KeepLogShort()
    {
        if (_time.GetElapsedTime(_lastTruncation) < BetweenTruncations || WalBytes(_path) <= ArchiveConnection.WalLimitBytes)
        {
            return;
        }

        _lastTruncation = _time.GetTimestamp();
        if (_statements is { } statements && !statements.TruncateLog())
        {
            Log.LogHeld(_logger, WalBytes(_path));
        }
    }

    private void Close()
    {
        if (_pending.Count > 0)
        {
            foreach (var run in _pending.OfType<RowsWork>().GroupBy(work => work.Run.Id))
            {
                Log.RowsLost(_logger, run.Sum(work => work.Rows.Length), run.Key, _failure?.Text);
            }
        }

        try
        {
            _statements?.TruncateLog();
        }
        catch (SqliteException exception)
        {
            // The log stays beside the database and is read by the next start.
            Log.CloseFailed(_logger, _path, exception);
        }

        DropConnection();
    }

    /// <summary>Size of the write-ahead log, bytes; 0 where there is none.</summary>
    public static long WalBytes(string path)
    {
        var log = new FileInfo(path + "-wal");
        return log.Exists ? log.Length : 0;
    }

    private static partial class Log
    {
        [LoggerMessage(3010, LogLevel.Error, "Archive {Path} cannot be written: {Text}. {Waiting} rows and events wait in memory and are tried again", EventName = "CommitFailed")]
        public static partial void CommitFailed(ILogger logger, string path, string text, int waiting, Exception exception);

        [LoggerMessage(3011, LogLevel.Information, "Archive is written again after {Failures} failed commits in {Seconds:0.0} s; nothing was lost", EventName = "Recovered")]
        public static partial void Recovered(ILogger logger, int failures, double seconds);

        [LoggerMessage(3012, LogLevel.Warning, "The archive's log is {Bytes} bytes long: somebody reads the archive without an end", EventName = "LogHeld")]
        public static partial void LogHeld(ILogger logger, long bytes);

        [LoggerMessage(3013, LogLevel.Critical, "{Rows} rows of run {RunId} could not be written before the end and are lost: {Text}", EventName = "RowsLost")]
        public static partial void RowsLost(ILogger logger, int rows, string runId, string? text);

        [LoggerMessage(3014, LogLevel.Warning, "Archive {Path} did not close cleanly; the next start reads its log", EventName = "CloseFailed")]
        public static partial void CloseFailed(ILogger logger, string path, Exception exception);
    }
}

/// <summary>Why commits fail.</summary>
/// <param name="Text">The reason, and what to do.</param>
/// <param name="Since">UTC of the first of the failures in a row.</param>
internal sealed record WriteFailure(string Text, DateTimeOffset Since);
