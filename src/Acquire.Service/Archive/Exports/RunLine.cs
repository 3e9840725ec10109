using Acquire.Service.Live;

namespace Acquire.Service.Archive.Exports;

/// <summary>What a line about a run is made of.</summary>
/// <param name="Summary">Its line in the list; its damage stands there, and then no result.</param>
/// <param name="Detail">The run in full; null where it is damaged.</param>
/// <param name="Provenance">Where its record comes from.</param>
internal sealed record RunLine(RunSummary Summary, RunDetail? Detail, RunProvenance Provenance);
