using System.Globalization;
using Acquire.Core.Methods;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Service.Archive.Chain;
using Acquire.Service.Archive.Database;
using Acquire.Service.Archive.Rows;
using Acquire.Service.Live;

namespace Acquire.Service.Archive.Bundles;

/// <summary>Whether what stands twice in a record stands there alike, and whether the plan can be followed.</summary>
internal static class BundleSense
{
    /// <summary>What is wrong; null where nothing is.</summary>
    public static string? Fault(RunBundle bundle, RunDetail run) =>
        Plan(run.Plan) ?? bundle.Records.Select(record => Record(record, run)).FirstOrDefault(fault => fault is not null);

    private static string? Plan(RunPlan plan)
    {
        if (!MethodFile.TryParse(MethodFile.ToJson(plan.Method), out _, out var errors))
        {
            return $"its plan has a method that cannot be: {errors[0]}";
        }

        return !Within(plan.ExpectedFlashCelsius, RunPlan.ExpectedFlashRangeCelsius) ? "its plan expects a flash point that cannot be"
            : !Within(plan.SpecificationCelsius, RunPlan.ExpectedFlashRangeCelsius) ? "its plan has a specification that cannot be"
            : !Within(plan.StationPressureKilopascals, RunPlan.StationPressureRangeKilopascals) ? "its plan has a station pressure that cannot be"
            : !Within(plan.PromptLeadSeconds, RunPlan.PromptLeadRangeSeconds) ? "its plan has a prompt that cannot be"
            : null;
    }

    private static bool Within(double? value, ValueRange range) => value is not { } number || (number >= range.From && number <= range.To);

    private static string? Record(BundleRecord record, RunDetail run)
    {
        var same = record.Kind.Word switch
        {
            "header" => Same(record, ("method_id", run.Plan.Method.Id), ("expected_flash_celsius", run.Plan.ExpectedFlashCelsius ?? 0), ("scouting", run.Plan.Scouting ? 1L : 0L), ("specification_celsius", run.Plan.SpecificationCelsius)),
            "event" => Same(record, ("at_seconds", run.Events[(int)record.Part].AtSeconds), ("kind", ArchiveJson.KindOf(run.Events[(int)record.Part]))),
            "closing" => SameResult(record, run.Audit.OriginalResult ?? run.Summary.Result!),
            "result" => SameResult(record, run.Audit.Results[(int)record.Part - 1].Result) && run.Audit.Results[(int)record.Part - 1].Correction is var number && number >= 1 && number <= run.Audit.Corrections.Count,
            "chunk" => RowChunk.Decode((byte[])record["body"]!, out _) is { } rows && Same(record, ("row_count", (long)rows.Length), ("first_seconds", rows[0].AtSeconds + 0.0), ("last_seconds", rows[^1].AtSeconds + 0.0)),
            _ => true,
        };
        return same ? null : string.Create(CultureInfo.InvariantCulture, $"the columns of its {ArchiveFault.Name(record.Kind, record.Part)} do not say what its content says");
    }

    private static bool SameResult(BundleRecord record, RunResult result) =>
        Same(record, ("verdict", ArchiveStatements.Word(result.Verdict)), ("reported_flash_celsius", result.Flash?.ReportedCelsius), ("reported_fire_celsius", result.Fire?.ReportedCelsius));

    private static bool Same(BundleRecord record, params ReadOnlySpan<(string Column, object? Value)> content)
    {
        foreach (var (column, value) in content)
        {
            if (!Equals(record[column], value))
            {
                return false;
            }
        }

        return true;
    }
}
