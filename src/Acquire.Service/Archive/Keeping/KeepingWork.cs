using Acquire.Service.Archive.Database;
using Acquire.Service.Archive.Writing;

namespace Acquire.Service.Archive.Keeping;

/// <summary>A hold or a release; refused where somebody else was quicker.</summary>
internal sealed class HoldWork(long run, RunHold hold) : AwaitedWork(1)
{
    public override void Write(ArchiveStatements statements, Func<OpenRun, RunStage> stageOf)
    {
        if (statements.Keeping.HoldsOf(run) != hold.Number - 1)
        {
            Refuse("The run was held or released by somebody else meanwhile.");
            return;
        }

        statements.Keeping.Insert(run, hold);
    }

    protected override void Committed()
    {
    }
}

/// <summary>Takes a run's records away; refused where it is on hold or has not ended.</summary>
internal sealed class PruneWork(long run, RunPruning pruning) : AwaitedWork(1)
{
    public override void Write(ArchiveStatements statements, Func<OpenRun, RunStage> stageOf)
    {
        if (statements.Keeping.WhyNotPruned(run, pruning) is { } why)
        {
            Refuse($"The run '{pruning.RunId}' cannot be pruned: {why}.");
            return;
        }

        statements.Keeping.Prune(run, pruning);
    }

    protected override void Committed()
    {
    }
}
