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
    /// <summary>Corrects a closed run; durable when the task completes. Where the result follows from what is corrected, the record is judged anew.</summary>
    /// <param name="id">Run id.</param>
    /// <param name="request">What to correct.</param>
    /// <param name="altitudeMetres">Altitude of the laboratory, m; null where unknown.</param>
    /// <param name="cancellationToken">Stops the waiting.</param>
    public Task<AuditAnswer> CorrectAsync(string id, CorrectionRequest request, double? altitudeMetres, CancellationToken cancellationToken) => WithAsync(
        id, request.Person, roles.MayCorrect, "correct", "mayCorrect", async run =>
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
            return await RecordedAsync(archive.CorrectAsync(id, correction, Judge(run, correction), cancellationToken)).ConfigureAwait(false);
        });

    /// <summary>Approves a closed run as it stands; durable when the task completes. A later correction needs a new approval, and nobody approves a run that they corrected.</summary>
    /// <param name="id">Run id.</param>
    /// <param name="person">Who approves; a name of <see cref="RunRoles.MayApprove"/>.</param>
    /// <param name="cancellationToken">Stops the waiting.</param>
    public Task<AuditAnswer> ApproveAsync(string id, string person, CancellationToken cancellationToken) => WithAsync(
        id, person, roles.MayApprove, "approve", "mayApprove", async run =>
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
            return await RecordedAsync(archive.ApproveAsync(id, approval, cancellationToken)).ConfigureAwait(false);
        });

    private async Task<AuditAnswer> WithAsync(string id, string person, IReadOnlyList<string> allowed, string act, string key, Func<RunDetail, Task<AuditAnswer>> add)
    {
        try
        {
            return archive.FindRun(id) is not { } run ? AuditAnswer.No(AuditOutcome.NoRun, "id", $"there is no run '{id}'")
                : !allowed.Contains(person, StringComparer.Ordinal) ? AuditAnswer.No(AuditOutcome.Forbidden, "person", $"'{person}' may not {act} runs; allowed: {(allowed.Count > 0 ? string.Join(", ", allowed) : "nobody")} (roles.{key} in the configuration)")
                : run.Summary is { ClosedAt: null, Interrupted: false } ? AuditAnswer.No(AuditOutcome.Conflict, "id", $"run {id} is open; {act} it once it is closed")
                : await add(run).ConfigureAwait(false);
        }
        catch (ArchiveUnavailableException exception)
        {
            return AuditAnswer.No(AuditOutcome.Unavailable, "id", exception.Message);
        }
        catch (ArchiveCorruptException exception)
        {
            return AuditAnswer.No(AuditOutcome.Unavailable, "id", exception.Message);
        }
    }

    // Refused by the writer, before whose eyes two people cannot correct the same thing.
    private static async Task<AuditAnswer> RecordedAsync(Task writing)
    {
        try
        {
            await writing.ConfigureAwait(false);
            return AuditAnswer.Done;
        }
        catch (InvalidOperationException exception)
        {
            return AuditAnswer.No(AuditOutcome.Conflict, "id", exception.Message + " Look at the run again.");
        }
    }

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
