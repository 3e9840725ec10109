using System.Text;
using Acquire.Core.Runs;
using Acquire.Service.Archive;

namespace Acquire.Service.Live.Api;

/// <summary>Answers with everything that a person entered in a run, what was taken back included, as a file that `acquire replay` reads.</summary>
internal static class ObservationsCsv
{
    public static IResult Of(string runId, RunArchive archive)
    {
        var entries = archive.ReadEvents(runId, 0).OfType<PersonEntry>().ToArray();
        var portions = entries.Any(entry => entry is PortionCharged);
        var text = new StringBuilder(portions ? PersonEntryWords.HeaderWithPortions : PersonEntryWords.Header).Append('\n');
        foreach (var entry in entries)
        {
            text.Append(portions ? PersonEntryWords.LineWithPortions(entry) : PersonEntryWords.Line(entry)).Append('\n');
        }

        return Results.File(Encoding.UTF8.GetBytes(text.ToString()), "text/csv; charset=utf-8", $"{runId}.observations.csv");
    }
}
