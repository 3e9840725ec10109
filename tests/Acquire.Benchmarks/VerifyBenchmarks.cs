using Acquire.Core.Methods;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Chain;
using BenchmarkDotNet.Attributes;
using Microsoft.Extensions.Logging.Abstractions;

namespace Acquire.Benchmarks;

/// <summary>What it takes to verify an archive of 20 runs of 20 minutes at 50 rows a second with 200 facts each, per run.</summary>
[MemoryDiagnoser]
[SimpleJob(warmupCount: 1, iterationCount: 5, invocationCount: 1)]
public class VerifyBenchmarks
{
    private const int Runs = 20;
    private const int RunRows = 60_000;
    private const int RunFacts = 200;

    private string _folder = "";
    private string _path = "";

    /// <summary>Fills an archive on the disk that holds the temporary folder.</summary>
    [GlobalSetup]
    public async Task FillAsync()
    {
        _folder = Directory.CreateTempSubdirectory("acquire-bench-").FullName;
        _path = Path.Combine(_folder, "runs.db");
        var rows = RowChunkBenchmarks.PlausibleRun(RunRows);
        var plan = new RunPlan { Method = MethodCatalog.All.Single(method => method.Id == "astm-d92-18"), ExpectedFlashCelsius = 220, HasFlameSignal = true };
        await using var archive = RunArchive.Open(_path, TimeProvider.System, NullLogger<RunArchive>.Instance);
        for (var run = 0; run < Runs; run++)
        {
            var id = $"run-{run}";
            await archive.BeginRunAsync(new RunHeader(id, "bench-1", "turbine oil", plan, DateTimeOffset.UnixEpoch, "0.1.0", "benchmark"), CancellationToken.None);
            await archive.AppendRowsAsync(id, rows, CancellationToken.None);
            await archive.AppendEventsAsync(id, [.. Enumerable.Range(0, RunFacts).Select(at => new BurnEnded(at, at, 1))], CancellationToken.None);
            await archive.CloseRunAsync(id, DateTimeOffset.UnixEpoch, new RunResult(Verdict.Valid, null, null, 101.3, [], []), CancellationToken.None);
        }
    }

    /// <summary>Deletes it.</summary>
    [GlobalCleanup]
    public void Delete() => Directory.Delete(_folder, recursive: true);

    /// <summary>The whole archive; per run.</summary>
    [Benchmark(OperationsPerInvoke = Runs)]
    public bool Verify() => ArchiveVerifier.Verify(_path).Sound;
}
