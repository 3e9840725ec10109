using System.Buffers.Binary;
using System.Globalization;
using System.IO.Compression;
using System.Text;
using Acquire.Core.Readings;
using Acquire.Service.Archive.Rows;

namespace Acquire.Benchmarks.Campaigns.Archive;

/// <summary>What the rows of a run take in the archive's chunks and by other ways, a chunk of 512 rows at a time, and what packing costs.</summary>
internal static class CodecFigures
{
    private const int ChunkRows = 512;
    private const int Times = 9;

    public static Task WriteAsync(StringBuilder text)
    {
        foreach (var (name, run) in ((string, FigureRun)[])
            [("10 readings a second, temperature only", FigureRun.Simulated(10, false)), ("10 readings a second, temperature, detector and flame", FigureRun.Simulated(10, true)), ("50 readings a second, temperature, detector and flame", FigureRun.Simulated(50, true))])
        {
            var chunks = run.Rows.Chunk(ChunkRows).ToArray();
            text.AppendLine(CultureInfo.InvariantCulture, $"**{name}** ({run.Rows.Length:#,0} rows):").AppendLine();
            text.AppendLine("| way | bytes a row | of plain doubles | ns a row |").AppendLine("| --- | --- | --- | --- |");
            var plain = chunks.Sum(rows => Plain(rows).Length);
            foreach (var (way, pack) in Ways)
            {
                var bytes = chunks.Sum(rows => pack(rows).Length);
                var (shortest, _) = Best.Of(Times, () =>
                {
                    foreach (var rows in chunks)
                    {
                        pack(rows);
                    }
                });
                text.AppendLine(CultureInfo.InvariantCulture, $"| {way} | {bytes / (double)run.Rows.Length:0.00} | {100.0 * bytes / plain:0.0} % | {shortest * 1e9 / run.Rows.Length:0} |");
            }

            text.AppendLine();
        }

        return Task.CompletedTask;
    }

    private static readonly (string Way, Func<ReadingRow[], byte[]> Pack)[] Ways =
    [
        ("plain doubles, a byte of bits a row", Plain),
        ("plain doubles, deflate", rows => Deflated(Plain(rows), CompressionLevel.Optimal)),
        ("plain doubles, Brotli 5", rows => Brotli(Plain(rows), 5)),
        ("plain doubles, zstd 3", rows => Zstd(Plain(rows), 3)),
        ("CSV text, deflate", rows => Deflated(Csv(rows), CompressionLevel.Optimal)),
        ("decimals, differences, variable length", VarInts),
        ("decimals, differences, variable length, deflate", rows => Deflated(VarInts(rows), CompressionLevel.Optimal)),
        ("decimals, differences, variable length, zstd 3", rows => Zstd(VarInts(rows), 3)),
        ("byte planes, plain", Body),
        ("byte planes, deflate", rows => Deflated(Body(rows), CompressionLevel.Optimal)),
        ("byte planes, Brotli 1: archives up to version 5", rows => Brotli(Body(rows), 1)),
        ("byte planes, zstd 3", rows => Zstd(Body(rows), 3)),
        ("squeezed, plain", Squeezed),
        ("squeezed, deflate", rows => Deflated(Squeezed(rows), CompressionLevel.Optimal)),
        ("**squeezed, Brotli 1: the archive**", rows => RowChunk.Encode(rows)),
        ("squeezed, Brotli 4", rows => Brotli(Squeezed(rows), 4)),
        ("squeezed, Brotli 5", rows => Brotli(Squeezed(rows), 5)),
        ("squeezed, Brotli 9", rows => Brotli(Squeezed(rows), 9)),
        ("squeezed, Brotli 11", rows => Brotli(Squeezed(rows), 11)),
        ("squeezed, zstd 1", rows => Zstd(Squeezed(rows), 1)),
        ("squeezed, zstd 3", rows => Zstd(Squeezed(rows), 3)),
        ("squeezed, zstd 9", rows => Zstd(Squeezed(rows), 9)),
        ("squeezed, zstd 19", rows => Zstd(Squeezed(rows), 19)),
    ];

    private static byte[] Plain(ReadingRow[] rows)
    {
        var bytes = new byte[rows.Length * 25];
        for (var i = 0; i < rows.Length; i++)
        {
            var at = bytes.AsSpan(i * 25);
            BinaryPrimitives.WriteDoubleLittleEndian(at, rows[i].AtSeconds);
            BinaryPrimitives.WriteDoubleLittleEndian(at[8..], rows[i].TemperatureCelsius);
            BinaryPrimitives.WriteDoubleLittleEndian(at[16..], rows[i].Detector);
            at[24] = (byte)((int)rows[i].Present & 7 | (rows[i].FlameOver ? 8 : 0));
        }

        return bytes;
    }

    private static byte[] Csv(ReadingRow[] rows) =>
        Encoding.UTF8.GetBytes(string.Concat(rows.Select(row => string.Create(CultureInfo.InvariantCulture, $"{row.AtSeconds:R},{row.TemperatureCelsius:R},{row.Detector:R},{(row.FlameOver ? 1 : 0)}\r\n"))));

    // As a chunk is before it is packed: the plain form of its own format.
    private static byte[] Body(ReadingRow[] rows)
    {
        var body = new byte[RowChunkBody.Length(RowChunkBody.VersionFor(rows), rows.Length)];
        RowChunkBody.Write(RowChunkBody.VersionFor(rows), rows, body);
        return body;
    }

    private static byte[] Squeezed(ReadingRow[] rows)
    {
        var version = RowChunkBody.VersionFor(rows);
        var squeezed = new byte[PlaneSqueeze.MostBytes(version, rows.Length)];
        return squeezed[..PlaneSqueeze.Squeeze(version, rows.Length, Body(rows), squeezed)];
    }

    // Only of rows whose values are decimals, as those of the simulated tester are; anything else would need an escape.
    private static byte[] VarInts(ReadingRow[] rows)
    {
        var bytes = new MemoryStream();
        foreach (var (scale, of) in ((double, Func<ReadingRow, double>)[])[(1000, row => row.AtSeconds), (100, row => row.TemperatureCelsius), (10_000, row => row.Detector)])
        {
            var before = 0L;
            foreach (var row in rows)
            {
                var whole = (long)Math.Round(of(row) * scale);
                var folded = (ulong)(((whole - before) << 1) ^ ((whole - before) >> 63));
                before = whole;
                for (; folded >= 128; folded >>= 7)
                {
                    bytes.WriteByte((byte)((folded & 127) | 128));
                }

                bytes.WriteByte((byte)folded);
            }
        }

        foreach (var row in rows)
        {
            bytes.WriteByte((byte)((int)row.Present & 7 | (row.FlameOver ? 8 : 0)));
        }

        return bytes.ToArray();
    }

    private static byte[] Deflated(byte[] bytes, CompressionLevel level)
    {
        var packed = new MemoryStream();
        using (var deflate = new DeflateStream(packed, level, leaveOpen: true))
        {
            deflate.Write(bytes);
        }

        return packed.ToArray();
    }

    private static byte[] Brotli(byte[] bytes, int quality)
    {
        var packed = new byte[BrotliEncoder.GetMaxCompressedLength(bytes.Length)];
        BrotliEncoder.TryCompress(bytes, packed, out var length, quality, 16);
        return packed[..length];
    }

    private static byte[] Zstd(byte[] bytes, int level)
    {
        using var compressor = new ZstdSharp.Compressor(level);
        return compressor.Wrap(bytes).ToArray();
    }
}
