using System.Globalization;
using System.Text;
using Acquire.Service.Live;

namespace Acquire.Service.Archive.Exports;

/// <summary>Runs as a text file, one a line; units stand in the names of the columns. Specimen, expected flash point and result are as corrected.</summary>
internal static class RunsCsv
{
    private static readonly (string Name, Func<RunLine, string> Of)[] Columns =
    [
        ("run", run => run.Summary.Id),
        ("tester", run => CsvText.Field(run.Summary.TesterId)),
        ("method", run => run.Summary.MethodId),
        ("specimen", run => CsvText.Field(run.Summary.Specimen)),
        ("expected_flash_c", run => Number(run.Summary.ExpectedFlashCelsius)),
        ("specification_c", run => Number(run.Summary.SpecificationCelsius)),
        ("scouting", run => run.Summary.Scouting ? "1" : "0"),
        ("mode", run => run.Detail?.Plan.Mode.ToString().ToLowerInvariant() ?? ""),
        ("started_at_utc", run => Utc(run.Summary.StartedAt)),
        ("closed_at_utc", run => run.Summary.ClosedAt is { } at ? Utc(at) : ""),
        ("interrupted", run => run.Summary.Interrupted ? "1" : "0"),
        ("verdict", run => run.Summary.Result?.Verdict.ToString().ToLowerInvariant() ?? ""),
        ("station_pressure_kpa", run => Number(run.Summary.Result?.StationKilopascals)),
        ("observed_flash_c", run => Number(run.Summary.Result?.Flash?.ObservedCelsius)),
        ("corrected_flash_c", run => Number(run.Summary.Result?.Flash?.CorrectedCelsius)),
        ("reported_flash_c", run => Number(run.Summary.Result?.Flash?.ReportedCelsius)),
        ("observed_fire_c", run => Number(run.Summary.Result?.Fire?.ObservedCelsius)),
        ("corrected_fire_c", run => Number(run.Summary.Result?.Fire?.CorrectedCelsius)),
        ("reported_fire_c", run => Number(run.Summary.Result?.Fire?.ReportedCelsius)),
        ("reasons", run => CsvText.Field(string.Join(' ', (run.Summary.Result?.Reasons ?? []).Select(reason => reason.Code).Distinct()))),
        ("readings", run => run.Summary.ArchivedRows.ToString(CultureInfo.InvariantCulture)),
        ("corrections", run => run.Summary.Corrections.ToString(CultureInfo.InvariantCulture)),
        ("approved_by", run => CsvText.Field(run.Detail is { Audit: { Approved: true } audit } ? audit.Approvals[^1].Person : null)),
        ("remark", run => CsvText.Field(run.Detail?.Audit.Remark)),
        ("imported_from", run => run.Summary.ImportedFrom ?? ""),
        ("software_version", run => CsvText.Field(run.Provenance.SoftwareVersion)),
        ("damage", run => CsvText.Field(run.Summary.Damage)),
    ];

    /// <summary>The file's first line.</summary>
    public static void Begin(StringBuilder text) => CsvText.Line(text, Columns.Select(column => column.Name));

    /// <summary>The line of a run.</summary>
    public static void Add(StringBuilder text, RunLine run) => CsvText.Line(text, Columns.Select(column => column.Of(run)));

    private static string Number(double? value) => value?.ToString("R", CultureInfo.InvariantCulture) ?? "";

    private static string Utc(DateTimeOffset at) => at == RunSummary.UnreadableTime ? "" : at.UtcDateTime.ToString("O", CultureInfo.InvariantCulture);
}
