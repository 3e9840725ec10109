using Acquire.Core.Methods;
using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Service.Archive;
using BenchmarkDotNet.Attributes;
using Microsoft.Extensions.Logging.Abstractions;

namespace Acquire.Benchmarks;

/// <summary>What keeping the record costs: a run of 20 minutes at 50 rows a second, with a ramp read to 0.01 °C and a detector read to 0.1 mV.</summary>
[MemoryDiagnoser]
[SimpleJob(warmupCount: 1, iterationCount: 6, invocationCount: 16)] // a fixed count: left to itself the harness fills gigabytes
public class ArchiveBenchmarks
{
    private const int RunRows = 60_000;
    private const int RowsPerCommit = 10;
    private static readonly CancellationToken Never = CancellationToken.None;

    private readonly ReadingRow[] _rows = RowChunkBenchmarks.PlausibleRun(RunRows);
    private string _folder = "";
    private string _path = "";
    private RunArchive _archive = null!;
    private int _runs;
    private int _steps;

    /// <summary>A fresh archive on the disk that holds the temporary folder.</summary>
    [GlobalSetup]
    public async Task OpenAsync()
    {
        _folder = Directory.CreateTempSubdirectory("acquire-bench-").FullName;
        _path = Path.Combine(_folder, "runs.db");
        _archive = RunArchive.Open(_path, TimeProvider.System, NullLogger<RunArchive>.Instance);
        await BeginAsync("steady");
    }

    /// <summary>Says how much disk a row took, with everything around it.</summary>
    [GlobalCleanup]
    public async Task CloseAsync()
    {
        var rows = _archive.ListRuns(null, 10_000).Sum(run => run.ArchivedRows);
        await _archive.DisposeAsync();
        Console.WriteLine($"// {rows} rows in {new FileInfo(_path).Length} bytes: {new FileInfo(_path).Length / (double)rows:0.00} bytes a row with everything around them");
        Directory.Delete(_folder, recursive: true);
    }

    /// <summary>A whole run as fast as it goes, ten rows an append, until it is closed and durable; per row.</summary>
    [Benchmark(OperationsPerInvoke = RunRows)]
    public async Task AppendRun()
    {
        var id = $"run-{++_runs}";
        await BeginAsync(id);
        for (var at = 0; at < RunRows; at += RowsPerCommit)
        {
            await _archive.AppendRowsAsync(id, _rows.AsMemory(at, RowsPerCommit), Never);
        }

        await _archive.CloseRunAsync(id, DateTimeOffset.UnixEpoch, new RunResult(Verdict.Valid, null, null, 101.3, [], []), Never);
    }

    /// <summary>What a lane waits for with each fact: ten rows and one event, durable.</summary>
    [Benchmark]
    public async Task DurableEvent()
    {
        var at = _steps++ * RowsPerCommit % RunRows;
        await _archive.AppendRowsAsync("steady", _rows.AsMemory(at, RowsPerCommit), Never);
        await _archive.AppendEventsAsync("steady", [new BurnEnded(at, at, 1)], Never);
    }

    private Task BeginAsync(string id)
    {
        var plan = new RunPlan { Method = MethodCatalog.All.Single(method => method.Id == "astm-d92-18"), ExpectedFlashCelsius = 220, HasFlameSignal = true };
        return _archive.BeginRunAsync(new RunHeader(id, "bench-1", "turbine oil", plan, DateTimeOffset.UnixEpoch, "0.1.0", "benchmark"), Never);
    }
}
