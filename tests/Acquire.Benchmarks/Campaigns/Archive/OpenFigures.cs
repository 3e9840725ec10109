using System.Globalization;
using System.Text;

namespace Acquire.Benchmarks.Campaigns.Archive;

/// <summary>How long an archive with a year and more of runs takes to open.</summary>
internal static class OpenFigures
{
    private const int Runs = 10_000;
    private const int Times = 15;

    public static async Task WriteAsync(StringBuilder text)
    {
        var whole = FigureRun.Simulated(10, true);
        var run = whole with { Rows = [.. whole.Rows.Take(600)], Facts = [.. whole.Facts.Take(20)] };
        await FigureRun.WithArchiveAsync(async (archive, path) =>
        {
            for (var from = 0; from < Runs; from += 100)
            {
                await Task.WhenAll(Enumerable.Range(from, 100).Select(i => WriteAsync(archive, run, i))).ConfigureAwait(false);
            }

            await archive.DisposeAsync().ConfigureAwait(false);
            var (shortest, middle) = Best.Of(Times, () => FigureRun.Open(path).DisposeAsync().AsTask().GetAwaiter().GetResult());
            await using var again = FigureRun.Open(path);
            var (list, listMiddle) = Best.Of(Times, () => again.ListRuns(null, 50));
            text.AppendLine("| what | shortest | middle |").AppendLine("| --- | --- | --- |");
            text.AppendLine(CultureInfo.InvariantCulture, $"| an archive of {Runs:#,0} runs, {new FileInfo(path).Length / 1_000_000:#,0} MB, opened and closed | {shortest * 1e3:0} ms | {middle * 1e3:0} ms |");
            text.AppendLine(CultureInfo.InvariantCulture, $"| its newest 50 runs listed | {list * 1e3:0.0} ms | {listMiddle * 1e3:0.0} ms |");
        }).ConfigureAwait(false);
    }

    private static async Task WriteAsync(Service.Archive.RunArchive archive, FigureRun run, int number)
    {
        var id = string.Create(CultureInfo.InvariantCulture, $"run-{number}");
        await archive.BeginRunAsync(new(id, "bench-1", "turbine oil", run.Plan, DateTimeOffset.UnixEpoch.AddMinutes(30.0 * number), "0.1.0", "benchmark"), default).ConfigureAwait(false);
        await archive.AppendRowsAsync(id, run.Rows, default).ConfigureAwait(false);
        await archive.AppendEventsAsync(id, run.Facts, default).ConfigureAwait(false);
        await archive.CloseRunAsync(id, DateTimeOffset.UnixEpoch, run.Result, default).ConfigureAwait(false);
    }
}
