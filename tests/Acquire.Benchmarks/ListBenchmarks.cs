using Acquire.Core.Methods;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Service.Archive;
using BenchmarkDotNet.Attributes;
using Microsoft.Extensions.Logging.Abstractions;

namespace Acquire.Benchmarks;

/// <summary>What it takes to find runs among those of a year: ten testers, six runs a day each, 250 days. Results with eight applications and two findings each.</summary>
[MemoryDiagnoser]
[SimpleJob(warmupCount: 2, iterationCount: 10, invocationCount: 4)]
public class ListBenchmarks
{
    private const int RunsOfAYear = 15_000;

    private static readonly DateTimeOffset Start = new(2025, 1, 2, 8, 0, 0, TimeSpan.Zero);

    private string _folder = "";
    private RunArchive? _archive;

    /// <summary>Fills an archive on the disk that holds the temporary folder.</summary>
    [GlobalSetup]
    public async Task FillAsync()
    {
        _folder = Directory.CreateTempSubdirectory("acquire-bench-").FullName;
        _archive = RunArchive.Open(Path.Combine(_folder, "runs.db"), TimeProvider.System, NullLogger<RunArchive>.Instance);
        var plan = new RunPlan { Method = MethodCatalog.All.Single(method => method.Id == "astm-d92-18"), ExpectedFlashCelsius = 220, HasFlameSignal = true };
        for (var batch = 0; batch < RunsOfAYear; batch += 100)
        {
            await Task.WhenAll(Enumerable.Range(batch, 100).Select(run => AddAsync(_archive, run, plan)));
        }
    }

    /// <summary>Deletes it.</summary>
    [GlobalCleanup]
    public async Task DeleteAsync()
    {
        await _archive!.DisposeAsync();
        Directory.Delete(_folder, recursive: true);
    }

    /// <summary>The newest 50, as the page asks for them.</summary>
    [Benchmark]
    public int Newest() => _archive!.ListRuns(new RunFilter { Limit = 50 }).Count;

    /// <summary>Invalid ones of one tester in a quarter.</summary>
    [Benchmark]
    public int InvalidOfATester() => _archive!.ListRuns(new RunFilter { TesterId = "bench-3", Verdict = Verdict.Invalid, StartedFrom = Start.AddDays(90), StartedBefore = Start.AddDays(180), Limit = 500 }).Count;

    /// <summary>Those of one specimen by a part of its name, of which there are six in the year: the whole year is looked through.</summary>
    [Benchmark]
    public int OfASpecimen() => _archive!.ListRuns(new RunFilter { Specimen = "LOT 2017", Limit = 500 }).Count;

    /// <summary>Flash points in a range that no run has: the whole year is looked through.</summary>
    [Benchmark]
    public int OfAValue() => _archive!.ListRuns(new RunFilter { FlashFromCelsius = 300, FlashToCelsius = 310, Limit = 500 }).Count;

    /// <summary>As many as one answer may hold.</summary>
    [Benchmark]
    public int AsManyAsAnAnswerHolds() => _archive!.ListRuns(new RunFilter { Limit = 500 }).Count;

    private static async Task AddAsync(RunArchive archive, int run, RunPlan plan)
    {
        var id = $"run-{run}";
        var began = Start.AddMinutes(run * 35);
        var applications = Enumerable.Range(1, 8).Select(number => new Application(number, 600 + (22 * number), 200 + (2 * number), 1, ApplicationEvidence.FlameSignal, number == 8, 0.5));
        Finding[] findings = [new("rate-too-fast", FindingWeight.Doubtful, 650, 205.5, 6.4, 6, "The rate was 6.4 °C/min; 5 to 6 is allowed."), new("window-missed", FindingWeight.Invalid, 700, 210, 3, 2, "Too late.")];
        var result = new RunResult((Verdict)(run % 3), new DeterminedPoint(216, 216.4, 216 + (run % 20), 776), null, 99.7, [.. applications], findings);
        await archive.BeginRunAsync(new RunHeader(id, $"bench-{run % 10}", $"turbine oil, lot {run / 6}", plan, began, "0.1.0", "benchmark"), CancellationToken.None);
        await archive.CloseRunAsync(id, began.AddMinutes(25), result, CancellationToken.None);
    }
}
