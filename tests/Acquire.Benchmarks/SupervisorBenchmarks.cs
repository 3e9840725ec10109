using Acquire.Core.Methods;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Simulator;
using BenchmarkDotNet.Attributes;

namespace Acquire.Benchmarks;

/// <summary>What one row costs the supervisor, beside a bare loop over the same rows.</summary>
[MemoryDiagnoser]
public class SupervisorBenchmarks
{
    private ReadingRow[] _rows = [];
    private RunPlan _plan = null!;

    /// <summary>Rows a second that the simulated tester delivers.</summary>
    [Params(50, 500)]
    public double RowsPerSecond { get; set; }

    [GlobalSetup]
    public void Setup()
    {
        _ = MethodCatalog.TryFind("astm-d92-18", out var method);
        var options = new SimulatorOptions { Method = method!, FlashCelsius = 220, FireCelsius = 240, RowsPerSecond = RowsPerSecond };
        _rows = [.. new SimulatedRun(options)];
        _plan = new RunPlan { Method = method!, ExpectedFlashCelsius = 220, StationPressureKilopascals = 101.3, HasFlameSignal = true };
    }

    [Benchmark(Baseline = true)]
    public double BareLoop()
    {
        double sum = 0;
        foreach (ref readonly var row in _rows.AsSpan())
        {
            sum += row.TemperatureCelsius + row.Detector;
        }

        return sum;
    }

    [Benchmark]
    public RunState Supervise()
    {
        var outputs = new List<RunOutput>();
        var state = RunSupervisor.Begin(_plan);
        foreach (ref readonly var row in _rows.AsSpan())
        {
            RunSupervisor.Step(state, _plan, row, outputs);
        }

        return state;
    }
}
