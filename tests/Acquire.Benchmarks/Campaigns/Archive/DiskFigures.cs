using System.Globalization;
using System.Text;
using Acquire.Service.Archive.Rows;

namespace Acquire.Benchmarks.Campaigns.Archive;

/// <summary>What whole runs take on the disk, with everything around their readings.</summary>
internal static class DiskFigures
{
    private const int Runs = 40;
    private const int ChunkRows = 512;

    public static async Task WriteAsync(StringBuilder text)
    {
        text.AppendLine("| run | rows | readings | facts | chunks, bytes a row | file, bytes a row | file, bytes a reading |").AppendLine("| --- | --- | --- | --- | --- | --- | --- |");
        foreach (var (name, run, channels) in ((string, FigureRun, int)[])
            [("10 a second, temperature, by hand", FigureRun.Simulated(10, false), 1), ("10 a second, temperature, detector, flame", FigureRun.Simulated(10, true), 3), ("50 a second, temperature, detector, flame", FigureRun.Simulated(50, true), 3)])
        {
            var chunks = run.Rows.Chunk(ChunkRows).Sum(rows => RowChunk.Encode(rows).Length);
            var (empty, full) = (0L, 0L);
            await FigureRun.WithArchiveAsync(async (archive, path) =>
            {
                await archive.DisposeAsync().ConfigureAwait(false);
                empty = new FileInfo(path).Length;
                await using (var again = FigureRun.Open(path))
                {
                    for (var i = 0; i < Runs; i++)
                    {
                        await run.WriteAsync(again, string.Create(CultureInfo.InvariantCulture, $"run-{i}")).ConfigureAwait(false);
                    }
                }

                full = new FileInfo(path).Length;
            }).ConfigureAwait(false);
            var rows = run.Rows.Length;
            var bytes = (full - empty) / (double)Runs / rows;
            text.AppendLine(CultureInfo.InvariantCulture, $"| {name} | {rows:#,0} | {rows * channels:#,0} | {run.Facts.Count:#,0} | {chunks / (double)rows:0.00} | {bytes:0.00} | {bytes / channels:0.00} |");
        }
    }
}
