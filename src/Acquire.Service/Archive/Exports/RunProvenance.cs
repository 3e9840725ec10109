namespace Acquire.Service.Archive.Exports;

/// <summary>Where a run's record comes from.</summary>
/// <param name="Archive">Id of the archive.</param>
/// <param name="SoftwareVersion">Version of the program that judged the run live.</param>
/// <param name="Source">Where the readings came from: wire, channels, settings, in words.</param>
internal sealed record RunProvenance(string Archive, string SoftwareVersion, string Source);
