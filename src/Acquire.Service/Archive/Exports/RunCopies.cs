using System.Text;
using Acquire.Core.Methods;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Service.Archive.Bundles;
using Acquire.Service.Configuration;
using Acquire.Service.Live;

namespace Acquire.Service.Archive.Exports;

/// <summary>The copies of a run that a bundle has for people.</summary>
internal static class RunCopies
{
    /// <summary>The copies, by the name that they have in a bundle.</summary>
    public static Dictionary<string, byte[]> Of(RunDetail run, RunProvenance provenance, IEnumerable<ReadingRow> rows)
    {
        using var document = new MemoryStream();
        RunDocument.Write(document, run, provenance, rows);
        var copies = new Dictionary<string, byte[]>
        {
            [BundleFiles.Run] = document.ToArray(),
            [BundleFiles.Readings] = Encoding.UTF8.GetBytes(string.Concat(ReadingsCsvText.Pieces(ReadingColumns.Of(run.Plan, rows), rows))),
            [BundleFiles.Events] = Encoding.UTF8.GetBytes(EventsCsv.Of(run.Events)),
            [BundleFiles.Method] = Encoding.UTF8.GetBytes(MethodFile.ToJson(run.Plan.Method)),
            [BundleFiles.Thermometer] = Encoding.UTF8.GetBytes(ThermometerChainFile.Write(run.Plan.Thermometer)),
        };
        if (run.Events.Any(fact => fact is PersonEntry))
        {
            copies[BundleFiles.Observations] = Encoding.UTF8.GetBytes(ObservationsCsvText.Of(run.Events));
        }

        return copies;
    }
}
