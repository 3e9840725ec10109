using Acquire.Core.Results;
using Acquire.Service.Archive.Influx.Feeding;

namespace Acquire.Service.Archive.Influx.Lines;

/// <summary>What a closed run says, as it stood after so many corrections. Names of persons stay in the archive.</summary>
internal static class ResultFields
{
    public static void Write(LineText line, FeedRun run, FeedResult stood)
    {
        var result = stood.Result;
        line.Number("correction", stood.Index)
            .Words("verdict", EventFields.Word(result.Verdict))
            .Words("specimen", stood.Specimen)
            .YesNo("scouting", run.Scouting)
            .Number("expected_flash_celsius", stood.ExpectedFlashCelsius)
            .Number("station_kilopascals", result.StationKilopascals)
            .Number("applications", result.Applications.Count)
            .Number("findings", result.Findings.Count);
        Point(line, result.Flash, "flash_observed_celsius", "flash_corrected_celsius", "flash_reported_celsius", "flash_run_seconds");
        Point(line, result.Fire, "fire_observed_celsius", "fire_corrected_celsius", "fire_reported_celsius", "fire_run_seconds");
        line.Words("answer", result.Equilibrium?.Statement);
    }

    private static void Point(LineText line, DeterminedPoint? point, string observed, string corrected, string reported, string seconds)
    {
        if (point is not null)
        {
            line.Number(observed, point.ObservedCelsius).Number(corrected, point.CorrectedCelsius).Number(reported, point.ReportedCelsius).Number(seconds, point.TimeSeconds);
        }
    }
}
