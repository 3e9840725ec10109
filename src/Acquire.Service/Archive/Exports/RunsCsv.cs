using System.Globalization;
using System.Text;
using Acquire.Service.Live;

namespace Acquire.Service.Archive.Exports;

/// <summary>Runs as a text file, one a line; units stand in the names of the columns. Specimen, expected flash point and result are as corrected.</summary>
internal static class RunsCsv
{
    private static readonly (string Name, Func<RunDetail, RunProvenance, string> Of)[] Columns =
    [
        ("run", (run, _) => run.Summary.Id),
        ("tester", (run, _) => CsvText.Field(run.Summary.TesterId)),
        ("method", (run, _) => run.Summary.MethodId),
        ("specimen", (run, _) => CsvText.Field(run.Summary.Specimen)),
        ("expected_flash_c", (run, _) => Number(run.Summary.ExpectedFlashCelsius)),
        ("specification_c", (run, _) => Number(run.Summary.SpecificationCelsius)),
        ("scouting", (run, _) => run.Summary.Scouting ? "1" : "0"),
        ("mode", (run, _) => run.Plan.Mode.ToString().ToLowerInvariant()),
        ("started_at_utc", (run, _) => Utc(run.Summary.StartedAt)),
        ("closed_at_utc", (run, _) => run.Summary.ClosedAt is { } at ? Utc(at) : ""),
        ("interrupted", (run, _) => run.Summary.Interrupted ? "1" : "0"),
        ("verdict", (run, _) => run.Summary.Result?.Verdict.ToString().ToLowerInvariant() ?? ""),
        ("station_pressure_kpa", (run, _) => Number(run.Summary.Result?.StationKilopascals)),
        ("observed_flash_c", (run, _) => Number(run.Summary.Result?.Flash?.ObservedCelsius)),
        ("corrected_flash_c", (run, _) => Number(run.Summary.Result?.Flash?.CorrectedCelsius)),
        ("reported_flash_c", (run, _) => Number(run.Summary.Result?.Flash?.ReportedCelsius)),
        ("observed_fire_c", (run, _) => Number(run.Summary.Result?.Fire?.ObservedCelsius)),
        ("corrected_fire_c", (run, _) => Number(run.Summary.Result?.Fire?.CorrectedCelsius)),
        ("reported_fire_c", (run, _) => Number(run.Summary.Result?.Fire?.ReportedCelsius)),
        ("reasons", (run, _) => CsvText.Field(string.Join(' ', (run.Summary.Result?.Reasons ?? []).Select(reason => reason.Code).Distinct()))),
        ("readings", (run, _) => run.Summary.ArchivedRows.ToString(CultureInfo.InvariantCulture)),
        ("corrections", (run, _) => run.Summary.Corrections.ToString(CultureInfo.InvariantCulture)),
        ("approved_by", (run, _) => CsvText.Field(run.Audit.Approved ? run.Audit.Approvals[^1].Person : null)),
        ("remark", (run, _) => CsvText.Field(run.Audit.Remark)),
        ("imported_from", (run, _) => run.Summary.ImportedFrom ?? ""),
        ("software_version", (_, provenance) => CsvText.Field(provenance.SoftwareVersion)),
    ];

    /// <summary>The file's first line.</summary>
    public static void Begin(StringBuilder text) => CsvText.Line(text, Columns.Select(column => column.Name));

    /// <summary>The line of a run.</summary>
    public static void Add(StringBuilder text, RunDetail run, RunProvenance provenance) => CsvText.Line(text, Columns.Select(column => column.Of(run, provenance)));

    private static string Number(double? value) => value?.ToString("R", CultureInfo.InvariantCulture) ?? "";

    private static string Utc(DateTimeOffset at) => at.UtcDateTime.ToString("O", CultureInfo.InvariantCulture);
}
