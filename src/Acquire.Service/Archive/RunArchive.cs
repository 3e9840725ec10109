using System.Collections.Concurrent;
using System.Globalization;
using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Service.Archive.Bundles;
using Acquire.Service.Archive.Chain;
using Acquire.Service.Archive.Corrections;
using Acquire.Service.Archive.Curves;
using Acquire.Service.Archive.Database;
using Acquire.Service.Archive.Exports;
using Acquire.Service.Archive.Keeping;
using Acquire.Service.Archive.Rows;
using Acquire.Service.Archive.Writing;
using Acquire.Service.Live;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive;

/// <summary>The record: every run with its plan, rows, events and result, in one SQLite file on a local disk. What it has acknowledged, a kill or a power cut cannot take.</summary>
/// <remarks>
/// One writer, any number of readers. What is appended to one run must be appended by one caller at a time; that order is the order of the record.
/// Methods that write throw <see cref="ArchiveUnavailableException"/> when the disk refuses, and may then be called again;
/// <see cref="InvalidOperationException"/> for a run that is not open.
/// </remarks>
public sealed partial class RunArchive : IAsyncDisposable
{
    // Hundreds of hours of runs, and little for a disk: time to act, without haste.
    private const long ScarceBytes = 200_000_000;

    private readonly ConcurrentDictionary<string, OpenRun> _open = new(StringComparer.Ordinal);
    private readonly string _path;
    private readonly IDisposable _taken;
    private readonly ArchiveQueue _queue;
    private readonly WriterDatabase _database;
    private readonly ArchiveWriter _writer;
    private readonly ArchiveReader _reader;

    private RunArchive(string path, IDisposable taken, SqliteConnection connection, DateTimeOffset? lastSign, ArchiveOptions options, TimeProvider time, ILogger logger)
    {
        (_path, _taken, LastSign) = (path, taken, lastSign);
        _queue = new ArchiveQueue(options.QueueCapacity);
        _database = new WriterDatabase(connection, path, options.ChunkRows, time, logger);
        _writer = new ArchiveWriter(_database, path, options, _queue, time, logger);
        _reader = new ArchiveReader(path);
    }

    /// <summary>The database file.</summary>
    public string FilePath => _path;

    /// <summary>Whether the record is being kept, with the reason where it is not.</summary>
    public ArchiveHealth Health
    {
        get
        {
            var (trouble, free) = (Trouble, FreeBytes());
            var text = trouble ?? (free < ScarceBytes ? $"every commit succeeds, but only {free / 1_000_000} MB are free on its disk" : "every commit succeeds");
            return new ArchiveHealth(trouble is null, text, WriterDatabase.WalBytes(_path), _queue.Depth, _queue.Capacity, _writer.SecondsSinceCommit, free);
        }
    }

    /// <summary>Why the record cannot be kept; null while it is. Asks nothing of the disk, so that every lane may look four times a second.</summary>
    public string? Trouble => _writer.Failure is { } failure
        ? string.Create(CultureInfo.InvariantCulture, $"cannot be written since {failure.Since:yyyy-MM-dd HH:mm:ss} UTC: {failure.Text}; what is not yet recorded waits in memory and is tried again")
        : null;

    /// <summary>Largest size the database file may reach, bytes; null for no limit but the disk's. Beyond it commits fail as on a full disk, until it is raised.</summary>
    public long? LargestBytes
    {
        get => _database.LargestBytes;
        set => _database.LargestBytes = value;
    }

    /// <summary>Opens the archive, creates folder and tables where there are none, and marks runs that nobody closed as interrupted, unless <see cref="ArchiveOptions.KeepsOpenRuns"/>.</summary>
    /// <param name="path">The database file; beside it live its log and a lock file.</param>
    /// <param name="time">Clock for marks and ages.</param>
    /// <param name="logger">Told of openings, failures and recoveries.</param>
    /// <param name="options">How to commit; null for the defaults.</param>
    /// <exception cref="ArchiveRefusedException">The place or the file is not fit; the message says what to do.</exception>
    public static RunArchive Open(string path, TimeProvider time, ILogger<RunArchive> logger, ArchiveOptions? options = null)
    {
        options ??= new ArchiveOptions();
        options.Check();
        path = Path.GetFullPath(path);
        var folder = Path.GetDirectoryName(path) ?? throw new ArchiveRefusedException($"The archive path {path} names a folder; name a file in it.");
        CreateFolder(folder);
        ArchiveLocation.RefuseNetwork(folder);
        var taken = ArchiveLocation.Take(path);
        SqliteConnection? connection = null;
        try
        {
            ArchiveTrace.RefuseEmptied(path, taken);
            connection = ArchiveConnection.OpenWriter(path, create: true);
            if (ArchiveSchema.CreateOrTakeOver(connection, path, time.GetUtcNow()) is (> 0 and var older, { } copy))
            {
                Log.TakenOver(logger, path, older, ArchiveSchema.Version, copy);
            }

            if (ChainFile.StartOf(connection) is { } start)
            {
                ArchiveTrace.Leave(taken, start.Archive);
            }

            var lastSign = SignOf(connection);
            var interrupted = options.KeepsOpenRuns ? 0 : ChainSealing.MarkInterrupted(connection, time.GetUtcNow());
            Log.Opened(logger, path, connection.ServerVersion, interrupted);
            return new RunArchive(path, taken, connection, lastSign, options, time, logger);
        }
        catch (Exception exception)
        {
            connection?.Dispose();
            taken.Dispose();
            if (exception is SqliteException)
            {
                throw new ArchiveRefusedException($"The archive {path} cannot be opened: {SqliteFault.Explain(exception, path)}.", exception);
            }

            throw;
        }
    }

    /// <summary>Begins a run; durable when the task completes. Throws <see cref="InvalidOperationException"/> when the id is taken.</summary>
    public Task BeginRunAsync(RunHeader header, CancellationToken cancellationToken) => _open.ContainsKey(header.Id)
        ? Task.FromException(new InvalidOperationException($"The run '{header.Id}' is open already."))
        : WriteAsync(new BeginWork(header, ArchiveJson.Write(header.Plan), run => _open[run.Id] = run), cancellationToken);

    /// <summary>Copies rows to the queue; waits while it is full. They are committed within <see cref="ArchiveOptions.CommitInterval"/> on a healthy disk, see <see cref="ArchivedRows"/>.</summary>
    /// <exception cref="ArgumentException">A row has no finite time, or a channel or mark nobody knows.</exception>
    public ValueTask AppendRowsAsync(string runId, ReadOnlyMemory<ReadingRow> rows, CancellationToken cancellationToken)
    {
        var run = RunOpenFor(runId);
        foreach (ref readonly var row in rows.Span)
        {
            if (!RowChunk.CanHold(row))
            {
                throw new ArgumentException($"The row {row} cannot be archived: its time must be finite, its channels and marks known.", nameof(rows));
            }
        }

        return rows.IsEmpty ? ValueTask.CompletedTask : _queue.AddAsync(new RowsWork(run, rows.ToArray()), cancellationToken);
    }

    /// <summary>Appends facts; durable, with all rows appended to the run before, when the task completes. Cancelling stops the waiting, not a commit under way.</summary>
    public Task AppendEventsAsync(string runId, IReadOnlyList<RunOutput> events, CancellationToken cancellationToken) =>
        WriteAsync(new EventsWork(RunOpenFor(runId), [.. events.Select(output => (output, ArchiveJson.Write(output)))]), cancellationToken);

    /// <summary>Closes a run; durable, with everything appended before, when the task completes. Nothing can follow.</summary>
    public async Task CloseRunAsync(string runId, DateTimeOffset closedAt, RunResult result, CancellationToken cancellationToken)
    {
        var run = RunOpenFor(runId);
        var work = new CloseWork(run, closedAt, result, ArchiveJson.Write(result), closed => _open.TryRemove(closed.Id, out _));
        run.Closing = true;
        try
        {
            await WriteAsync(work, cancellationToken);
        }
        catch (Exception exception) when (exception is ArchiveUnavailableException || (exception is OperationCanceledException && !work.Queued))
        {
            run.Closing = false;
            throw;
        }
    }

    /// <summary>Adds a correction to a run that is not open, with the result that follows from it; durable when the task completes. Throws <see cref="InvalidOperationException"/> where the run was corrected meanwhile.</summary>
    internal Task CorrectAsync(string runId, RunCorrection correction, LaterResult? result, CancellationToken cancellationToken) =>
        WriteAsync(new CorrectionWork(ExtentOf(runId).Number, correction, result), cancellationToken);

    /// <summary>Adds an approval to a run that is not open; durable when the task completes. Throws <see cref="InvalidOperationException"/> where the run was corrected meanwhile.</summary>
    internal Task ApproveAsync(string runId, RunApproval approval, CancellationToken cancellationToken) =>
        WriteAsync(new ApprovalWork(ExtentOf(runId).Number, approval), cancellationToken);

    /// <summary>Adds a hold or a release; durable when the task completes. Throws <see cref="InvalidOperationException"/> where somebody else was quicker.</summary>
    internal Task HoldAsync(string runId, RunHold hold, CancellationToken cancellationToken) =>
        WriteAsync(new HoldWork(ExtentOf(runId).Number, hold), cancellationToken);

    /// <summary>Takes away what the run consists of; durable when the task completes. Throws <see cref="InvalidOperationException"/> where it is on hold or has not ended.</summary>
    internal Task PruneAsync(RunPruning pruning, CancellationToken cancellationToken) =>
        WriteAsync(new PruneWork(ExtentOf(pruning.RunId).Number, pruning), cancellationToken);
    /// <summary>Adds a run from another archive, as it is in the bundle, with where it came from; durable when the task completes. Throws <see cref="InvalidOperationException"/> where a run with its id is here already.</summary>
    internal Task ImportAsync(RunBundle bundle, RunImport import, CancellationToken cancellationToken) => WriteAsync(new ImportWork(bundle, import), cancellationToken);

    /// <summary>Rows of the run that are committed: acknowledged. Throws <see cref="KeyNotFoundException"/> for an unknown run.</summary>
    public long ArchivedRows(string runId) => _open.TryGetValue(runId, out var run) ? run.CommittedRows : ExtentOf(runId).Rows;

    /// <summary>Runs, newest first.</summary>
    /// <param name="testerId">Only runs of this tester; null for all.</param>
    /// <param name="limit">At most this many; 1 to 10,000.</param>
    public IReadOnlyList<RunSummary> ListRuns(string? testerId, int limit) => ListRuns(new RunFilter { TesterId = testerId, Limit = limit });

    /// <summary>Runs of a filter, newest start first; what is damaged of one is told with it. Throws <see cref="ArgumentOutOfRangeException"/> for a limit out of its range.</summary>
    public IReadOnlyList<RunSummary> ListRuns(RunFilter filter)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(filter.Limit, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(filter.Limit, RunFilter.MostRuns);
        return _reader.List(filter);
    }

    /// <summary>Runs that ended before a time, and which of them are on hold.</summary>
    public PrunableRuns PrunableBefore(DateTimeOffset ended) => _reader.PrunableBefore(ended);

    /// <summary>How a run was pruned; null where it was not.</summary>
    public RunPruning? FindPruning(string id) => _reader.Pruning(id);

    /// <summary>Whether there is a run, damaged or not.</summary>
    public bool HasRun(string id) => _reader.FindExtent(id) is not null;

    /// <summary>A run's line in the list; null where there is no such run. What is damaged of it is told with it.</summary>
    public RunSummary? FindSummary(string id) => _reader.Summary(id);

    /// <summary>One run in full; null where there is no such run.</summary>
    /// <exception cref="ArchiveCorruptException">Something of its record cannot be read.</exception>
    public RunDetail? FindRun(string id) => _reader.Find(id);

    /// <summary>Facts of a run in order, from an index on. Throws <see cref="KeyNotFoundException"/> for an unknown run.</summary>
    public IReadOnlyList<RunOutput> ReadEvents(string id, int from) => _reader.Events(id, ExtentOf(id).Number, from);

    /// <summary>The rows that were committed when this was called, in order and exact to the last bit. Throws <see cref="KeyNotFoundException"/> for an unknown run, <see cref="ArchiveCorruptException"/> on reading a damaged one.</summary>
    public IEnumerable<ReadingRow> ReadRows(string id)
    {
        var (number, rows) = ExtentOf(id);
        return _reader.Rows(id, number, rows);
    }

    /// <summary>A run's whole curve in stretches of equal time with the lowest and the highest reading of each, and every fact; null where there is no such run.</summary>
    /// <param name="id">Run id.</param>
    /// <param name="width">How many stretches, <see cref="CurveReader.LeastWidth"/> to <see cref="CurveReader.MostWidth"/>.</param>
    /// <exception cref="ArchiveCorruptException">A chunk is damaged.</exception>
    public RunCurve? ReadCurve(string id, int width)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(width, CurveReader.LeastWidth);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(width, CurveReader.MostWidth);
        return _reader.Curve(id, width);
    }

    /// <summary>Gives runs out whole.</summary>
    internal ArchiveExport Export() => new(_path);

    /// <summary>Reads all of the record and tells everything found wrong, a sentence each; empty for a sound archive. Takes as long as the file is large, and the log grows meanwhile.</summary>
    public IReadOnlyList<string> Check() => ArchiveCheck.Run(_reader);

    /// <summary>Commits everything that was appended, folds the log into the database and closes it. A disk that refuses is tried for <see cref="ArchiveOptions.DrainLimit"/>.</summary>
    public async ValueTask DisposeAsync()
    {
        await _writer.DisposeAsync();
        _taken.Dispose();
    }

    private async Task WriteAsync(AwaitedWork work, CancellationToken cancellationToken)
    {
        await _queue.AddAsync(work, cancellationToken);
        work.Queued = true;
        await work.Done.WaitAsync(cancellationToken);
    }

    private OpenRun RunOpenFor(string runId) => _open.TryGetValue(runId, out var run) && !run.Closing
        ? run
        : throw new InvalidOperationException($"The run '{runId}' is not open for writing: it was never begun here, or it is closed.");

    private (long Number, long Rows) ExtentOf(string id) => _reader.FindExtent(id) ?? throw new KeyNotFoundException($"There is no run '{id}' in the archive.");

    private long? FreeBytes()
    {
        try
        {
            return new DriveInfo(Path.GetDirectoryName(_path)!).AvailableFreeSpace;
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException or ArgumentException)
        {
            return null;
        }
    }

    private static void CreateFolder(string folder)
    {
        try
        {
            Directory.CreateDirectory(folder);
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            throw new ArchiveRefusedException($"The archive folder {folder} cannot be created: {exception.Message}", exception);
        }
    }

    private static partial class Log
    {
        [LoggerMessage(3000, LogLevel.Information, "Archive {Path} is open (SQLite {Version}); {Interrupted} runs that nobody closed are marked interrupted", EventName = "Opened")]
        public static partial void Opened(ILogger logger, string path, string version, int interrupted);

        [LoggerMessage(3001, LogLevel.Warning, "Archive {Path} had content of version {Older} and was taken over into version {Version}, which older programs refuse: its records are as they were and have their place in the chain from now on. It was copied before to {Copy}", EventName = "TakenOver")]
        public static partial void TakenOver(ILogger logger, string path, long older, int version, string copy);
    }
}
