using System.Text;
using Acquire.Core.Runs;

namespace Acquire.Service.Archive.Exports;

/// <summary>Everything that a person entered in a run, what was taken back included, as a file that `acquire replay` reads.</summary>
internal static class ObservationsCsvText
{
    /// <summary>The file; of a run in which nobody entered anything, its first line.</summary>
    public static string Of(IEnumerable<RunOutput> events)
    {
        var entries = events.OfType<PersonEntry>().ToArray();
        var portions = entries.Any(entry => entry is PortionCharged);
        var text = new StringBuilder(portions ? PersonEntryWords.HeaderWithPortions : PersonEntryWords.Header).Append(CsvText.End);
        foreach (var entry in entries)
        {
            text.Append(portions ? PersonEntryWords.LineWithPortions(entry) : PersonEntryWords.Line(entry)).Append(CsvText.End);
        }

        return text.ToString();
    }
}
