using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Service.Live;

namespace Acquire.Service.Archive;

/// <summary>Stand-in until the archive's own branch is merged.</summary>
public sealed record RunHeader(string Id, string TesterId, string Specimen, RunPlan Plan, DateTimeOffset StartedAt, string SoftwareVersion, string Source);

/// <summary>Stand-in until the archive's own branch is merged.</summary>
public sealed record ArchiveHealth(bool Ok, string Text);

/// <summary>Stand-in until the archive's own branch is merged: keeps runs in memory.</summary>
public sealed class RunArchive : IAsyncDisposable
{
    private readonly Lock _lock = new();

    public ArchiveHealth Health { get; } = new(true, "every commit succeeds");

    private readonly List<Kept> _runs = [];

    public Task BeginRunAsync(RunHeader header, CancellationToken cancellationToken)
    {
        lock (_lock)
        {
            _runs.Add(new(header));
        }

        return Task.CompletedTask;
    }

    public ValueTask AppendRowsAsync(string runId, ReadOnlyMemory<ReadingRow> rows, CancellationToken cancellationToken)
    {
        lock (_lock)
        {
            Get(runId).Rows.AddRange(rows.Span);
        }

        return ValueTask.CompletedTask;
    }

    public Task AppendEventsAsync(string runId, IReadOnlyList<RunOutput> events, CancellationToken cancellationToken)
    {
        lock (_lock)
        {
            Get(runId).Events.AddRange(events);
        }

        return Task.CompletedTask;
    }

    public Task CloseRunAsync(string runId, DateTimeOffset closedAt, RunResult result, CancellationToken cancellationToken)
    {
        lock (_lock)
        {
            var run = Get(runId);
            (run.ClosedAt, run.Result) = (closedAt, result);
        }

        return Task.CompletedTask;
    }

    public long ArchivedRows(string runId)
    {
        lock (_lock)
        {
            return Get(runId).Rows.Count;
        }
    }

    public IReadOnlyList<RunSummary> ListRuns(string? testerId, int limit)
    {
        lock (_lock)
        {
            return [.. _runs.Where(run => testerId is null || run.Header.TesterId == testerId).Reverse().Take(limit).Select(Summary)];
        }
    }

    public RunDetail? FindRun(string id)
    {
        lock (_lock)
        {
            return _runs.Find(run => run.Header.Id == id) is { } run ? new(Summary(run), run.Header.Plan, [.. run.Events]) : null;
        }
    }

    public IReadOnlyList<RunOutput> ReadEvents(string id, int from)
    {
        lock (_lock)
        {
            return [.. Get(id).Events.Skip(from)];
        }
    }

    public IEnumerable<ReadingRow> ReadRows(string id)
    {
        lock (_lock)
        {
            return [.. Get(id).Rows];
        }
    }

    public ValueTask DisposeAsync() => ValueTask.CompletedTask;

    private Kept Get(string id) => _runs.Find(run => run.Header.Id == id) ?? throw new KeyNotFoundException(id);

    private static RunSummary Summary(Kept run) => new(
        run.Header.Id, run.Header.TesterId, run.Header.Plan.Method.Id, run.Header.Specimen, run.Header.Plan.ExpectedFlashCelsius,
        run.Header.StartedAt, run.ClosedAt, run.Rows.Count, false, run.Result);

    private sealed record Kept(RunHeader Header)
    {
        public List<ReadingRow> Rows { get; } = [];

        public List<RunOutput> Events { get; } = [];

        public DateTimeOffset? ClosedAt { get; set; }

        public RunResult? Result { get; set; }
    }
}
