using Acquire.Benchmarks.Campaigns.Flash;
using Acquire.Core.Detection;
using BenchmarkDotNet.Attributes;

namespace Acquire.Benchmarks;

/// <summary>What a reading of the ignition detector costs, passes and all, beside a bare loop over the same readings.</summary>
[MemoryDiagnoser]
public class DetectionBenchmarks
{
    private readonly List<WatchEvent> _events = [];
    private PassScene _scene = null!;

    /// <summary>Readings a second.</summary>
    [Params(50, 200)]
    public double ReadingsPerSecond { get; set; }

    [GlobalSetup]
    public void Setup() => _scene = PassScene.Draw(1, new() { RowsPerSecond = ReadingsPerSecond, BarePasses = 40, FlashSigma = 0, IntervalSeconds = 20 });

    [Benchmark(Baseline = true)]
    public double BareLoop()
    {
        double sum = 0;
        for (var i = 0; i < _scene.Times.Length; i++)
        {
            sum += _scene.Times[i] + _scene.First[i];
        }

        return sum;
    }

    [Benchmark]
    public int Watch() => ScenePlay.Play(_scene).Count;
}
