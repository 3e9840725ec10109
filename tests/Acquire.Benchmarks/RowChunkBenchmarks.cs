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
    private ReadingRow[] _rows = [];
    private byte[] _chunk = [];

    /// <summary>Whether the rows carry a thermometer's signal and its junction: the second version of the format.</summary>
    [Params(false, true)]
    public bool Signal { get; set; }

    /// <summary>The chunk to be read, and how long it is.</summary>
    [GlobalSetup]
    public void Fill()
    {
        _rows = Signal ? PlausibleSignalRun(ChunkRows) : PlausibleRun(ChunkRows);
        _chunk = RowChunk.Encode(_rows);
        Console.WriteLine($"// {_chunk.Length / (double)ChunkRows:0.00} bytes a row in a full chunk of version {_chunk[0]}");
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

    /// <summary>The same run by a thermocouple: the emf in whole µV, the temperature computed from it, the junction read to 0.01 °C with every row.</summary>
    internal static ReadingRow[] PlausibleSignalRun(int rows)
    {
        // About 41 µV a kelvin, a type K thermocouple near room temperature (value from memory).
        const double MicrovoltsPerKelvin = 41;
        var random = new Random(20260303);
        return [.. PlausibleRun(rows).Select(row =>
        {
            var junction = Math.Round(24 + ((random.NextDouble() - 0.5) * 0.1), 2);
            var signal = Math.Round((row.TemperatureCelsius - junction) * MicrovoltsPerKelvin);
            // Computed, so all its bits count: this column does not pack as decimals.
            var computed = junction + (signal / MicrovoltsPerKelvin);
            return row with
            {
                Present = row.Present | RowChannels.Signal | RowChannels.Junction,
                TemperatureCelsius = computed,
                Signal = signal,
                JunctionCelsius = junction,
            };
        })];
    }
}
