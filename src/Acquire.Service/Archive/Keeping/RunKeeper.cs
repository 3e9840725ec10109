using Acquire.Service.Archive.Corrections;

namespace Acquire.Service.Archive.Keeping;

/// <summary>Holds runs back from pruning, and releases them. Each is a record of its own.</summary>
/// <param name="archive">The archive.</param>
/// <param name="roles">Who may.</param>
/// <param name="time">Clock for the records.</param>
public sealed class RunKeeper(RunArchive archive, RunRoles roles, TimeProvider time)
{
    private readonly AuditGate _gate = new(archive);

    /// <summary>Holds a run that has ended, or releases it; durable when the task completes.</summary>
    /// <param name="id">Run id.</param>
    /// <param name="held">Whether it is to be kept from now on.</param>
    /// <param name="person">Who; a name of <see cref="RunRoles.MayHold"/>.</param>
    /// <param name="reason">Why; 1 to 500 printable characters.</param>
    /// <param name="cancellationToken">Stops the waiting.</param>
    public Task<AuditAnswer> HoldAsync(string id, bool held, string person, string reason, CancellationToken cancellationToken) => _gate.WithEndedAsync(
        id, person, new(held ? "hold" : "release", "mayHold", roles.MayHold), async run =>
        {
            if (CorrectionRules.WhyNoText("reason", reason) is { } wrong)
            {
                return new(AuditOutcome.Wrong, [wrong]);
            }

            if (run.Audit.OnHold == held)
            {
                return AuditAnswer.No(AuditOutcome.Conflict, "held", held ? $"run {id} is on hold already" : $"run {id} is not on hold");
            }

            var hold = new RunHold(run.Audit.Holds.Count + 1, time.GetUtcNow(), person, held, reason);
            return await AuditGate.RecordedAsync(archive.HoldAsync(id, hold, cancellationToken)).ConfigureAwait(false);
        });
}
