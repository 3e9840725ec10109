using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Service.Archive.Database;

namespace Acquire.Service.Archive.Writing;

/// <summary>Something that waits to be written.</summary>
/// <param name="weight">Its share of the queue: rows, or events and one.</param>
internal abstract class ArchiveWork(int weight)
{
    /// <summary>Its share of the queue.</summary>
    public int Weight { get; } = weight;
}

/// <summary>Rows of a run. Nobody waits for them; they stay until they are committed.</summary>
internal sealed class RowsWork(OpenRun run, ReadingRow[] rows) : ArchiveWork(rows.Length)
{
    public OpenRun Run => run;

    public ReadingRow[] Rows => rows;
}

/// <summary>Something whose caller waits for the commit, and hears of it when the commit fails.</summary>
internal abstract class AwaitedWork(int weight) : ArchiveWork(weight)
{
    private readonly TaskCompletionSource _done = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private Exception? _refusal;

    public Task Done => _done.Task;

    /// <summary>True once the queue has taken it: from here on it can be committed even if its caller stops waiting.</summary>
    public bool Queued { get; set; }

    /// <summary>Adds this to the open transaction. Called once: work whose commit failed goes back to its caller.</summary>
    public abstract void Write(ArchiveStatements statements, Func<OpenRun, RunStage> stageOf);

    public void Succeed()
    {
        if (_refusal is not null)
        {
            _done.TrySetException(_refusal);
            return;
        }

        Committed();
        _done.TrySetResult();
    }

    public void Fail(Exception exception) => _done.TrySetException(_refusal ?? exception);

    protected void Refuse(string message) => _refusal = new InvalidOperationException(message);

    protected abstract void Committed();
}

/// <summary>The start of a run.</summary>
internal sealed class BeginWork(RunHeader header, string plan, Action<OpenRun> opened) : AwaitedWork(1)
{
    private long _number;

    public override void Write(ArchiveStatements statements, Func<OpenRun, RunStage> stageOf)
    {
        if (statements.InsertRun(header, plan) is { } number)
        {
            _number = number;
            return;
        }

        Refuse($"A run '{header.Id}' is already in the archive.");
    }

    protected override void Committed() => opened(new OpenRun(header.Id, _number));
}

/// <summary>Facts of a run.</summary>
internal sealed class EventsWork(OpenRun run, IReadOnlyList<(RunOutput Output, string Json)> events) : AwaitedWork(events.Count + 1)
{
    public override void Write(ArchiveStatements statements, Func<OpenRun, RunStage> stageOf)
    {
        var stage = stageOf(run);
        foreach (var (output, json) in events)
        {
            statements.PutEvent(run.Number, stage.NextEvent++, output, json);
        }
    }

    protected override void Committed()
    {
    }
}

/// <summary>The end of a run.</summary>
internal sealed class CloseWork(OpenRun run, DateTimeOffset closedAt, RunResult result, string json, Action<OpenRun> closed) : AwaitedWork(1)
{
    public override void Write(ArchiveStatements statements, Func<OpenRun, RunStage> stageOf)
    {
        if (!statements.CloseRun(run.Number, closedAt, result, json))
        {
            Refuse($"The run '{run.Id}' was closed before.");
            return;
        }

        stageOf(run).WriteLastChunk(statements);
    }

    protected override void Committed() => closed(run);
}

/// <summary>The end of a run that could not go on. Done a second time it changes nothing.</summary>
internal sealed class InterruptWork(long run, DateTimeOffset at, RunInterrupted fact, string json, Action interrupted) : AwaitedWork(2)
{
    public override void Write(ArchiveStatements statements, Func<OpenRun, RunStage> stageOf) => statements.Interrupt(run, at, fact, json);

    protected override void Committed() => interrupted();
}
