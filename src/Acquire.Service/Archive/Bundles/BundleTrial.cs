using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Service.Archive.Database;
using Acquire.Service.Live;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Bundles;

/// <summary>What a bundle holds, read by what reads archives, and judged by the supervisor that runs live.</summary>
/// <param name="Run">The run.</param>
/// <param name="Rows">Its readings.</param>
/// <param name="Repeats">Whether this program comes to all results in the record; null for a run without one.</param>
/// <param name="Judged">The result that this program comes to where it is another than the newest in the record; null elsewhere.</param>
internal sealed record BundleTrial(RunDetail Run, long Rows, bool? Repeats, RunResult? Judged)
{
    /// <summary>Most readings of a run: more than half a day at 500 a second. A few bytes can claim millions.</summary>
    public const long MostRows = 25_000_000;

    private const string Place = "acquire-import-";

    /// <summary>Writes the run into an archive of its own, reads it back, compares what stands twice, and judges it. Null, with what is wrong, where something in it cannot be.</summary>
    /// <param name="bundle">The bundle.</param>
    /// <param name="now">When.</param>
    /// <param name="fault">What is wrong.</param>
    public static BundleTrial? Play(RunBundle bundle, DateTimeOffset now, out string? fault)
    {
        fault = BundleShape.Fault(bundle);
        if (fault is not null)
        {
            return null;
        }

        var folder = Directory.CreateTempSubdirectory(Place).FullName;
        try
        {
            var path = Path.Combine(folder, "runs.db");
            Fill(path, bundle, now);
            return Read(path, bundle, out fault);
        }
        catch (SqliteException exception)
        {
            fault = $"its records do not fit into an archive: {exception.Message}";
            return null;
        }
        catch (ArchiveCorruptException exception)
        {
            fault = $"{(exception.Part.StartsWith("its ", StringComparison.Ordinal) ? "" : "its ")}{exception.Part} cannot be read: {exception.Fault}";
            return null;
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static void Fill(string path, RunBundle bundle, DateTimeOffset now)
    {
        var connection = ArchiveConnection.OpenWriter(path, create: true);
        ArchiveSchema.CreateOrTakeOver(connection, path, now);
        using var statements = new ArchiveStatements(connection);
        statements.Begin();
        statements.Imports.Insert(bundle, RunImport.Of(bundle, now, "trial", "trial", "trial", null, null));
        statements.Commit();
    }

    private static BundleTrial? Read(string path, RunBundle bundle, out string? fault)
    {
        var reader = new ArchiveReader(path);
        var run = reader.Find(bundle.Manifest.Run)!;
        var (number, rows) = reader.FindExtent(bundle.Manifest.Run)!.Value;
        _ = reader.Rows(bundle.Manifest.Run, number, rows).Count(); // each chunk is checked while it is read
        fault = BundleSense.Fault(bundle, run);
        if (fault is not null)
        {
            return null;
        }

        try
        {
            return Judge(run, rows, plan => RunReplay.RunWhole(plan, reader.Rows(bundle.Manifest.Run, number, rows), run.Events));
        }
        catch (Exception exception) when (exception is ArgumentException or InvalidOperationException or ArithmeticException)
        {
            fault = $"it cannot be judged: {exception.Message}";
            return null;
        }
    }

    // The result of the closing by the plan as it was, each later one by the plan as it was corrected up to then.
    private static BundleTrial Judge(RunDetail run, long rows, Func<RunPlan, RunResult> judge)
    {
        if (run.Summary.Result is null)
        {
            return new(run, rows, null, null);
        }

        var audit = run.Audit;
        var (repeats, judged) = (true, (RunResult?)null);
        foreach (var (result, plan) in audit.Results.Select(later => (later.Result, (audit with { Corrections = [.. audit.Corrections.Take(later.Correction)] }).Plan(run.Plan))).Prepend((audit.OriginalResult ?? run.Summary.Result, run.Plan)))
        {
            var own = judge(plan);
            var same = ArchiveJson.Write(own) == ArchiveJson.Write(result);
            (repeats, judged) = (repeats && same, same ? null : own);
        }

        return new(run, rows, repeats, judged);
    }
}
