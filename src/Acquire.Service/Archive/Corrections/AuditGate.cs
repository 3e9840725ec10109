using Acquire.Service.Live;

namespace Acquire.Service.Archive.Corrections;

/// <summary>What a person wants to do with a run that has ended, and who may.</summary>
/// <param name="Verb">What, as a verb.</param>
/// <param name="Key">Its key under `roles` in the configuration.</param>
/// <param name="Names">Names of those who may.</param>
internal sealed record AuditAct(string Verb, string Key, IReadOnlyList<string> Names);

/// <summary>What everything has in common that is added to a run after it has ended.</summary>
internal sealed class AuditGate(RunArchive archive)
{
    /// <summary>Does it, where the run is there and has ended and the person may.</summary>
    public async Task<AuditAnswer> WithEndedAsync(string id, string person, AuditAct act, Func<RunDetail, Task<AuditAnswer>> add)
    {
        try
        {
            return archive.FindRun(id) is not { } run ? AuditAnswer.No(AuditOutcome.NoRun, "id", $"there is no run '{id}'")
                : WhyNot(person, act) is { } refused ? refused
                : run.Summary is { ClosedAt: null, Interrupted: false } ? AuditAnswer.No(AuditOutcome.Conflict, "id", $"run {id} is open; {act.Verb} it once it is closed")
                : await add(run).ConfigureAwait(false);
        }
        catch (Exception exception) when (exception is ArchiveUnavailableException or ArchiveCorruptException)
        {
            return AuditAnswer.No(AuditOutcome.Unavailable, "id", exception.Message);
        }
    }

    /// <summary>Why a person may not; null where they may.</summary>
    public static AuditAnswer? WhyNot(string person, AuditAct act) => act.Names.Contains(person, StringComparer.Ordinal)
        ? null
        : AuditAnswer.No(AuditOutcome.Forbidden, "person", $"'{person}' may not {act.Verb} runs; allowed: {(act.Names.Count > 0 ? string.Join(", ", act.Names) : "nobody")} (roles.{act.Key} in the configuration)");

    /// <summary>Refused by the writer, before whose eyes two people cannot do the same thing.</summary>
    public static async Task<AuditAnswer> RecordedAsync(Task writing)
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
}
