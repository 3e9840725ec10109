using Acquire.Benchmarks.Campaigns;
using Acquire.Core.Detection;
using BenchmarkDotNet.Attributes;

namespace Acquire.Benchmarks;

/// <summary>What the ramp costs, per reading: the averaged points and the rate on record, and with the early warning at both ends of the band.</summary>
[MemoryDiagnoser]
[SimpleJob(warmupCount: 2, iterationCount: 6)]
public class RampBenchmarks
{
    private const int Readings = 6000;
    private readonly double[] _celsius = new double[Readings];
    private readonly RampEstimator _ramp = new();
    private readonly BandWatch _watch = new();
    private double _seconds;

    /// <summary>Readings a second.</summary>
    [Params(10, 50, 500)]
    public double PerSecond { get; set; }

    /// <summary>A legal ramp that goes on from one turn of the benchmark to the next.</summary>
    [GlobalSetup]
    public void Fill()
    {
        var random = new CampaignRandom(1);
        for (var i = 0; i < Readings; i++)
        {
            _celsius[i] = 0.05 * random.Normal();
        }
    }

    /// <summary>Averaged points, strays, and the rate over 30 s with each point.</summary>
    [Benchmark(OperationsPerInvoke = Readings)]
    public double Rate()
    {
        double sum = 0;
        for (var i = 0; i < Readings; i++)
        {
            sum += Add(i) ? _ramp.Fit(RampEstimator.RecordWindowSeconds, double.NegativeInfinity)?.SlopePerSecond ?? 0 : 0;
        }

        return sum;
    }

    /// <summary>The same, and the watch of both ends.</summary>
    [Benchmark(OperationsPerInvoke = Readings)]
    public int RateAndWarning()
    {
        var calls = 0;
        for (var i = 0; i < Readings; i++)
        {
            if (Add(i))
            {
                _ = _ramp.Fit(RampEstimator.RecordWindowSeconds, double.NegativeInfinity);
                calls += _watch.Look(_ramp, double.NegativeInfinity, 5, 6, 0.1, double.NegativeInfinity) is null ? 0 : 1;
            }
        }

        return calls;
    }

    private bool Add(int i)
    {
        _seconds += 1 / PerSecond;
        return _ramp.Add(_seconds, Math.Round((200 + (5.5 / 60 * (_seconds % 3000)) + _celsius[i]) * 10) / 10);
    }
}
