using Acquire.Benchmarks.Campaigns;
using BenchmarkDotNet.Attributes;

namespace Acquire.Benchmarks;

/// <summary>What a reading costs in detection and ramp, alone and together, passes and all, beside a bare loop over the same readings. Runs follow each other, so what a run costs to begin is in it.</summary>
[MemoryDiagnoser]
public class DetectionBenchmarks
{
    private const int Readings = 40_000;
    private CostPlay _play = null!;

    /// <summary>Readings a second.</summary>
    [Params(10, 50, 200, 500)]
    public double PerSecond { get; set; }

    [GlobalSetup]
    public void Setup() => _play = new(PerSecond);

    [Benchmark(Baseline = true, OperationsPerInvoke = Readings)]
    public double BareLoop()
    {
        double sum = 0;
        for (var i = 0; i < Readings; i++)
        {
            sum += _play.Read();
        }

        return sum;
    }

    [Benchmark(OperationsPerInvoke = Readings)]
    public int Detection()
    {
        var seen = 0;
        for (var i = 0; i < Readings; i++)
        {
            seen += _play.Detect();
        }

        return seen;
    }

    [Benchmark(OperationsPerInvoke = Readings)]
    public int Whole()
    {
        var seen = 0;
        for (var i = 0; i < Readings; i++)
        {
            seen += _play.Whole();
        }

        return seen;
    }
}
