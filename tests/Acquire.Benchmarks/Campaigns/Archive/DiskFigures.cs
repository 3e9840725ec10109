using System.Globalization;
using System.Text;
using Acquire.Service.Archive.Database;
using Acquire.Service.Archive.Rows;

namespace Acquire.Benchmarks.Campaigns.Archive;

/// <summary>What whole runs take on the disk, with everything around their readings.</summary>
internal static class DiskFigures
{
    private const int Runs = 40;
    private const int ChunkRows = 512;

    // What the tables hold, without what SQLite puts around it: the rest of the file is indexes, page ends and free space.
    private static readonly (string Name, string Sql)[] Parts =
    [
        ("readings", "SELECT sum(length(body)) FROM chunks"),
        ("facts", "SELECT sum(length(body) + length(kind) + 8) FROM events"),
        ("plan and result", "SELECT sum(length(plan) + length(result)) FROM runs"),
        ("links of the chain", "SELECT sum(length(record) + length(digest)) FROM chain"),
    ];

    public static async Task WriteAsync(StringBuilder text)
    {
        text.AppendLine("| run | rows | values | facts | chunks, bytes a row | file, bytes a row | file, bytes a value | of that content: " + string.Join(", ", Parts.Select(part => part.Name)) + ", bytes a row |").AppendLine("| --- | --- | --- | --- | --- | --- | --- | --- |");
        foreach (var (name, run, channels) in ((string, FigureRun, int)[])
            [("10 a second, temperature, by hand", FigureRun.Simulated(10, false), 1), ("10 a second, temperature, detector, flame", FigureRun.Simulated(10, true), 3), ("50 a second, temperature, detector, flame", FigureRun.Simulated(50, true), 3)])
        {
            var (rows, chunks) = (run.Rows.Length, run.Rows.Chunk(ChunkRows).Sum(part => RowChunk.Encode(part).Length));
            var (bytes, parts) = await MeasureAsync(run).ConfigureAwait(false);
            text.AppendLine(CultureInfo.InvariantCulture, $"| {name} | {rows:#,0} | {rows * channels:#,0} | {run.Facts.Count:#,0} | {chunks / (double)rows:0.00} | {bytes / rows:0.00} | {bytes / rows / channels:0.00} | {string.Join(", ", parts.Select(part => (part / rows).ToString("0.00", CultureInfo.InvariantCulture)))} |");
        }
    }

    private static async Task<(double Bytes, double[] Parts)> MeasureAsync(FigureRun run)
    {
        var (empty, full, parts) = (0L, 0L, Array.Empty<double>());
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
            using var connection = ArchiveConnection.OpenReader(path);
            parts = [.. Parts.Select(part => double.Parse(ArchiveConnection.Scalar(connection, part.Sql)!, CultureInfo.InvariantCulture) / Runs)];
        }).ConfigureAwait(false);
        return ((full - empty) / (double)Runs, parts);
    }
}
