using System.Globalization;
using System.Text;
using Acquire.Core.Readings;

namespace Acquire.Benchmarks.Campaigns.Archive;

/// <summary>How long the curve of a long run takes from the archive.</summary>
internal static class CurveFigures
{
    private const int Rows = 180_000;
    private const int Width = 2000;
    private const int Times = 60;

    public static async Task WriteAsync(StringBuilder text)
    {
        var run = FigureRun.Simulated(50, true);

        // A run of an hour: the simulated one again and again, its time going on.
        ReadingRow[] rows = [.. Enumerable.Range(0, Rows).Select(i => run.Rows[i % run.Rows.Length] with { AtSeconds = Math.Round(i / 50.0, 2) })];
        await FigureRun.WithArchiveAsync(async (archive, _) =>
        {
            await (run with { Rows = rows }).WriteAsync(archive, "hour").ConfigureAwait(false);
            for (var i = 0; i < Times; i++)
            {
                archive.ReadCurve("hour", Width);
            }

            var (curve, middle) = Best.Of(Times, () => archive.ReadCurve("hour", Width));
            var (all, allMiddle) = Best.Of(Times / 6, () => rows[0] = archive.ReadRows("hour").Last());
            text.AppendLine("| what | shortest | middle |").AppendLine("| --- | --- | --- |");
            text.AppendLine(CultureInfo.InvariantCulture, $"| curve of {Rows:#,0} rows (60 min at 50 a second) read and decimated to {Width:#,0} stretches of low and high, {run.Facts.Count} facts with it | {curve * 1e3:0.0} ms | {middle * 1e3:0.0} ms |");
            text.AppendLine(CultureInfo.InvariantCulture, $"| all of these rows read one by one | {all * 1e3:0.0} ms | {allMiddle * 1e3:0.0} ms |");
        }).ConfigureAwait(false);
    }
}
