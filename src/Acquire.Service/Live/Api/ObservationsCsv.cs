using System.Text;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Exports;

namespace Acquire.Service.Live.Api;

/// <summary>Answers with everything that a person entered in a run.</summary>
internal static class ObservationsCsv
{
    public static IResult Of(string runId, RunArchive archive) =>
        Results.File(Encoding.UTF8.GetBytes(ObservationsCsvText.Of(archive.ReadEvents(runId, 0))), "text/csv; charset=utf-8", $"{runId}.observations.csv");
}
