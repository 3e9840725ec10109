using Acquire.Core.Runs;

namespace Acquire.Service.Archive;

/// <summary>What is known when a run begins, and what its record starts with.</summary>
/// <param name="Id">Run id; not yet in the archive.</param>
/// <param name="TesterId">Tester that makes the run.</param>
/// <param name="Specimen">What is in the cup, as booked in.</param>
/// <param name="Plan">What is fixed before heating, with the whole method.</param>
/// <param name="StartedAt">When it began; stored as UTC.</param>
/// <param name="SoftwareVersion">Version of the program that judges the run.</param>
/// <param name="Source">Where the readings come from: wire, channels, settings, in words.</param>
public sealed record RunHeader(
    string Id,
    string TesterId,
    string Specimen,
    RunPlan Plan,
    DateTimeOffset StartedAt,
    string SoftwareVersion,
    string Source);
