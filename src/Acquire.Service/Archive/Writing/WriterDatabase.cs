using Acquire.Service.Archive.Database;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Writing;

/// <summary>The writer's side of the database: one transaction at a time, a new connection after a fault. Used by the writer's thread only, but for the size limit.</summary>
internal sealed partial class WriterDatabase(SqliteConnection connection, string path, int chunkRows, TimeProvider time, ILogger logger) : IDisposable
{
    private static readonly TimeSpan BetweenTruncations = TimeSpan.FromSeconds(10);

    // How long a service was away is known to this.
    private static readonly TimeSpan BetweenSigns = TimeSpan.FromSeconds(1);

    private ArchiveStatements? _statements = new(connection);
    private long _lastSign;
    private long _lastTruncation = time.GetTimestamp();
    private long _largestBytes = -1;
    private long _appliedLargestBytes = -1;

    /// <summary>Largest size the database file may reach, bytes; null for no limit but the disk's. Holds from the next commit on.</summary>
    public long? LargestBytes
    {
        get => Interlocked.Read(ref _largestBytes) is >= 0 and var bytes ? bytes : null;
        set => Interlocked.Exchange(ref _largestBytes, value ?? -1);
    }

    /// <summary>Size of the write-ahead log, bytes; 0 where there is none.</summary>
    public static long WalBytes(string path)
    {
        var log = new FileInfo(path + "-wal");
        return log.Exists ? log.Length : 0;
    }

    /// <summary>Writes all of it in one transaction, or nothing. With nothing to write, tries whether the file takes writes.</summary>
    public void Commit(List<ArchiveWork> pending)
    {
        var statements = _statements ??= new ArchiveStatements(ArchiveConnection.OpenWriter(path, create: false));
        ApplySizeLimit(statements);
        var stages = new Dictionary<OpenRun, RunStage>();
        RunStage StageOf(OpenRun run) => stages.TryGetValue(run, out var stage) ? stage : stages[run] = new RunStage(run, chunkRows);

        statements.Begin();
        foreach (var rows in pending.OfType<RowsWork>())
        {
            StageOf(rows.Run).Add(rows.Rows);
        }

        foreach (var stage in stages.Values)
        {
            stage.WriteChunks(statements);
        }

        foreach (var awaited in pending.OfType<AwaitedWork>())
        {
            awaited.Write(statements, StageOf);
        }

        if (pending.Count == 0)
        {
            statements.Probe(time.GetUtcNow());
        }

        var signs = pending.Exists(work => work is RowsWork) && (_lastSign == 0 || time.GetElapsedTime(_lastSign) >= BetweenSigns);
        if (signs)
        {
            statements.Sign(time.GetUtcNow());
        }

        statements.Commit();
        _lastSign = signs ? time.GetTimestamp() : _lastSign;
        foreach (var stage in stages.Values)
        {
            stage.Committed();
        }
    }

    /// <summary>Leaves the connection ready for the next attempt, or drops it so that the next attempt opens a new one.</summary>
    public void Recover(Exception exception)
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
            Log.CloseFailed(logger, path, exception);
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

    /// <summary>Cuts the log back where it has grown: SQLite starts it over by itself, and only a long read can keep it from doing so.</summary>
    public void KeepLogShort()
    {
        if (time.GetElapsedTime(_lastTruncation) < BetweenTruncations || WalBytes(path) <= ArchiveConnection.WalLimitBytes)
        {
            return;
        }

        _lastTruncation = time.GetTimestamp();
        if (_statements is { } statements && !statements.TruncateLog())
        {
            Log.LogHeld(logger, WalBytes(path));
        }
    }

    /// <summary>Folds the log into the database and closes it.</summary>
    public void Dispose()
    {
        try
        {
            _statements?.TruncateLog();
        }
        catch (SqliteException exception)
        {
            // The log stays beside the database and is read by the next start.
            Log.CloseFailed(logger, path, exception);
        }

        DropConnection();
    }

    private static partial class Log
    {
        [LoggerMessage(3012, LogLevel.Warning, "The archive's log is {Bytes} bytes long: somebody reads the archive without an end", EventName = "LogHeld")]
        public static partial void LogHeld(ILogger logger, long bytes);

        [LoggerMessage(3014, LogLevel.Warning, "Archive {Path} did not close cleanly; the next start reads its log", EventName = "CloseFailed")]
        public static partial void CloseFailed(ILogger logger, string path, Exception exception);
    }
}
