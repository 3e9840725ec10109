using Acquire.Service.Archive.Chain;
using Acquire.Service.Archive.Database;
using Acquire.Service.Archive.Writing;

namespace Acquire.Service.Archive.Corrections;

/// <summary>A correction, with the result that follows from it; refused where the run was corrected since its maker looked at it.</summary>
internal sealed class CorrectionWork(long run, RunCorrection correction, LaterResult? result) : AwaitedWork(1)
{
    public override void Write(ArchiveStatements statements, Func<OpenRun, RunStage> stageOf)
    {
        if (statements.Corrections.Count(RecordKind.Correction, run) != correction.Number - 1)
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
        var added = statements.Corrections;
        if (added.Count(RecordKind.Correction, run) != approval.Corrections || added.Count(RecordKind.Approval, run) != approval.Number - 1)
        {
            Refuse("The run was corrected or approved by somebody else meanwhile.");
            return;
        }

        added.Insert(run, approval);
    }

    protected override void Committed()
    {
    }
}
