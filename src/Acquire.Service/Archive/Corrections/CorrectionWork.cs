using Acquire.Service.Archive.Database;
using Acquire.Service.Archive.Writing;

namespace Acquire.Service.Archive.Corrections;

/// <summary>A correction, with the result that follows from it; refused where the run was corrected since its maker looked at it.</summary>
internal sealed class CorrectionWork(long run, RunCorrection correction, LaterResult? result) : AwaitedWork(1)
{
    public override void Write(ArchiveStatements statements, Func<OpenRun, RunStage> stageOf)
    {
        if (statements.Corrections.Corrections(run) != correction.Number - 1)
        {
            Refuse("The run was corrected by somebody else meanwhile.");
            return;
        }

        statements.Corrections.Insert(run, correction);
        if (result is not null)
        {
            statements.Corrections.Insert(run, result);
        }
    }

    protected override void Committed()
    {
    }
}

/// <summary>An approval; refused where the run was corrected since its maker looked at it.</summary>
internal sealed class ApprovalWork(long run, RunApproval approval) : AwaitedWork(1)
{
    public override void Write(ArchiveStatements statements, Func<OpenRun, RunStage> stageOf)
    {
        if (statements.Corrections.Corrections(run) != approval.Corrections)
        {
            Refuse("The run was corrected by somebody else meanwhile.");
            return;
        }

        statements.Corrections.Insert(run, approval);
    }

    protected override void Committed()
    {
    }
}
