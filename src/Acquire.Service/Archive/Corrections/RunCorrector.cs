using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Service.Live;

namespace Acquire.Service.Archive.Corrections;

/// <summary>Adds corrections and approvals to closed runs. Nothing is ever overwritten or deleted.</summary>
/// <param name="archive">The archive.</param>
/// <param name="roles">Who may.</param>
/// <param name="time">Clock for the records.</param>
/// <param name="softwareVersion">Version that judges anew.</param>
public sealed class RunCorrector(RunArchive archive, RunRoles roles, TimeProvider time, string softwareVersion)
{
    private readonly AuditGate _gate = new(archive);

    /// <summary>Corrects a closed run; durable when the task completes. Where the result follows from what is corrected, the record is judged anew.</summary>
    /// <param name="id">Run id.</param>
    /// <param name="request">What to correct.</param>
    /// <param name="altitudeMetres">Altitude of the laboratory, m; null where unknown.</param>
    /// <param name="cancellationToken">Stops the waiting.</param>
    public Task<AuditAnswer> CorrectAsync(string id, CorrectionRequest request, double? altitudeMetres, CancellationToken cancellationToken) => _gate.WithEndedAsync(
        id, request.Person, new("correct", "mayCorrect", roles.MayCorrect), async run =>
        {
            if (CorrectionRules.Check(run, request, altitudeMetres) is { Count: > 0 } errors)
            {
                return new(AuditOutcome.Wrong, errors);
            }

            var (standing, value) = (CorrectionRules.Standing(run, request.Field), request.Text ?? RunAudit.Stored(request.Number!.Value));
            if (standing == value)
            {
                return AuditAnswer.No(AuditOutcome.Conflict, "value", "is what stands there already");
            }

            var correction = new RunCorrection(run.Audit.Corrections.Count + 1, time.GetUtcNow(), request.Person, request.Field, standing, value, request.Reason);
            return await AuditGate.RecordedAsync(archive.CorrectAsync(id, correction, Judge(run, correction), cancellationToken)).ConfigureAwait(false);
        });

    /// <summary>Approves a closed run as it stands; durable when the task completes. A later correction needs a new approval, and nobody approves a run that they corrected.</summary>
    /// <param name="id">Run id.</param>
    /// <param name="person">Who approves; a name of <see cref="RunRoles.MayApprove"/>.</param>
    /// <param name="cancellationToken">Stops the waiting.</param>
    public Task<AuditAnswer> ApproveAsync(string id, string person, CancellationToken cancellationToken) => _gate.WithEndedAsync(
        id, person, new("approve", "mayApprove", roles.MayApprove), async run =>
        {
            if (run.Summary.ClosedAt is null)
            {
                return AuditAnswer.No(AuditOutcome.Conflict, "id", $"run {id} was interrupted and has no result to approve");
            }

            if (run.Audit.Corrections.Any(correction => correction.Person == person))
            {
                return AuditAnswer.No(AuditOutcome.Forbidden, "person", $"{person} corrected this run; somebody else has to approve it");
            }

            if (run.Audit.Approved && run.Audit.Approvals[^1].Person == person)
            {
                return AuditAnswer.No(AuditOutcome.Conflict, "person", $"{person} has approved the run as it stands");
            }

            var approval = new RunApproval(run.Audit.Approvals.Count + 1, time.GetUtcNow(), person, run.Audit.Corrections.Count);
            return await AuditGate.RecordedAsync(archive.ApproveAsync(id, approval, cancellationToken)).ConfigureAwait(false);
        });

    // Judged by the supervisor that runs live, from the rows and from what persons and the heater did; a run without a result stays without.
    private LaterResult? Judge(RunDetail run, RunCorrection correction)
    {
        if (run.Summary.Result is not { } standing || correction.Field is CorrectedField.Specimen or CorrectedField.Remark)
        {
            return null;
        }

        var before = JudgeBy(run, run.Audit.Plan(run.Plan));
        var corrected = run.Audit with { Corrections = [.. run.Audit.Corrections, correction] };
        var repeats = ArchiveJson.Write(before) == ArchiveJson.Write(standing);
        return new(run.Audit.Results.Count + 1, correction.Number, correction.At, softwareVersion, repeats, JudgeBy(run, corrected.Plan(run.Plan)));
    }

    private RunResult JudgeBy(RunDetail run, RunPlan plan) => RunReplay.RunWhole(plan, archive.ReadRows(run.Summary.Id), run.Events);
}
