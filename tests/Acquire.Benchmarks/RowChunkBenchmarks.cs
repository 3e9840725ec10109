using Acquire.Core.Readings;
using Acquire.Service.Archive.Rows;
using BenchmarkDotNet.Attributes;

namespace Acquire.Benchmarks;

/// <summary>Rows to stored bytes and back, in chunks as the archive fills them; per row.</summary>
[MemoryDiagnoser]
[SimpleJob(warmupCount: 2, iterationCount: 5)]
public class RowChunkBenchmarks
{
    private const int ChunkRows = 512;
    private readonly ReadingRow[] _rows = PlausibleRun(ChunkRows);
    private byte[] _chunk = [];

    /// <summary>The chunk to be read, and how long it is.</summary>
    [GlobalSetup]
    public void Fill()
    {
        _chunk = RowChunk.Encode(_rows);
        Console.WriteLine($"// {_chunk.Length / (double)ChunkRows:0.00} bytes a row in a full chunk");
    }

    /// <summary>One full chunk to bytes.</summary>
    [Benchmark(OperationsPerInvoke = ChunkRows)]
    public int Encode() => RowChunk.Encode(_rows).Length;

    /// <summary>One full chunk back to rows.</summary>
    [Benchmark(OperationsPerInvoke = ChunkRows)]
    public int Decode() => RowChunk.Decode(_chunk, out _)!.Length;

    /// <summary>50 rows a second, a ramp read to 0.01 °C, a detector read to 0.1 mV, a pass of the flame every 20 s.</summary>
    internal static ReadingRow[] PlausibleRun(int rows)
    {
        var random = new Random(20260302);
        return [.. Enumerable.Range(0, rows).Select(i => new ReadingRow(
            i / 50.0,
            RowChannels.Temperature | RowChannels.Detector | RowChannels.Flame,
            Math.Round(40 + (i / 50.0 * 5.5 / 60) + ((random.NextDouble() - 0.5) * 0.06), 2),
            Math.Round(0.2 + ((random.NextDouble() - 0.5) * 0.02), 4),
            i % 1000 < 50))];
    }
}
