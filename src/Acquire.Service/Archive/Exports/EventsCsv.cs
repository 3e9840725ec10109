using System.Globalization;
using System.Text;
using Acquire.Core.Runs;

namespace Acquire.Service.Archive.Exports;

/// <summary>The facts of a run as a text file: number, time, kind, and the whole fact as JSON.</summary>
internal static class EventsCsv
{
    /// <summary>The file.</summary>
    public static string Of(IReadOnlyList<RunOutput> events)
    {
        var text = new StringBuilder();
        CsvText.Line(text, ["sequence", "time_s", "kind", "fact"]);
        for (var i = 0; i < events.Count; i++)
        {
            CsvText.Line(text, [i.ToString(CultureInfo.InvariantCulture), events[i].AtSeconds.ToString("R", CultureInfo.InvariantCulture), ArchiveJson.KindOf(events[i]), CsvText.Field(ArchiveJson.Write(events[i]))]);
        }

        return text.ToString();
    }
}
