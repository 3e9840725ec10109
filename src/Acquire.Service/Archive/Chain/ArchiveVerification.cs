namespace Acquire.Service.Archive.Chain;

/// <summary>What a verification found.</summary>
/// <param name="Head">The end of the chain; null where there is none.</param>
/// <param name="Records">Records whose digest was compared, by the word of their kind.</param>
/// <param name="Faults">Everything found wrong; empty for a sound archive.</param>
/// <param name="FaultsLeftOut">Faults found beyond those that are listed.</param>
/// <param name="NotProved">What this verification cannot tell, a sentence each.</param>
public sealed record ArchiveVerification(
    ArchiveHead? Head,
    IReadOnlyDictionary<string, long> Records,
    IReadOnlyList<ArchiveFault> Faults,
    long FaultsLeftOut,
    IReadOnlyList<string> NotProved)
{
    /// <summary>Whether nothing was found wrong.</summary>
    public bool Sound => Faults.Count == 0;
}
