using System.Diagnostics;
using System.Globalization;
using System.Text;

namespace Acquire.Benchmarks.Campaigns.Archive;

/// <summary>How many rows a second the archive takes and has on the disk.</summary>
internal static class AppendFigures
{
    private const int Times = 5;

    public static async Task WriteAsync(StringBuilder text)
    {
        var run = FigureRun.Simulated(50, true);
        text.AppendLine("| rows an append | rows a second, all on the disk and the run closed | ns of processor time a row, all threads |").AppendLine("| --- | --- | --- |");
        foreach (var batch in (int[])[10, 100, 1000])
        {
            var (fastest, least) = (0.0, double.PositiveInfinity);
            await FigureRun.WithArchiveAsync(async (archive, _) =>
            {
                for (var i = 0; i < Times; i++)
                {
                    var id = string.Create(CultureInfo.InvariantCulture, $"run-{i}");
                    await archive.BeginRunAsync(new(id, "bench-1", "turbine oil", run.Plan, DateTimeOffset.UnixEpoch, "0.1.0", "benchmark"), default).ConfigureAwait(false);
                    var (from, used) = (Stopwatch.GetTimestamp(), Environment.CpuUsage.TotalTime);
                    for (var at = 0; at < run.Rows.Length; at += batch)
                    {
                        await archive.AppendRowsAsync(id, run.Rows.AsMemory(at, Math.Min(batch, run.Rows.Length - at)), default).ConfigureAwait(false);
                    }

                    await archive.CloseRunAsync(id, DateTimeOffset.UnixEpoch, run.Result, default).ConfigureAwait(false);
                    fastest = Math.Max(fastest, run.Rows.Length / Stopwatch.GetElapsedTime(from).TotalSeconds);
                    least = Math.Min(least, (Environment.CpuUsage.TotalTime - used).TotalSeconds * 1e9 / run.Rows.Length);
                }
            }).ConfigureAwait(false);
            text.AppendLine(CultureInfo.InvariantCulture, $"| {batch:#,0} | {fastest:#,0} | {least:0} |");
        }
    }
}
