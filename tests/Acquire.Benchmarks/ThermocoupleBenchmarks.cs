using Acquire.Core.Thermometry;
using BenchmarkDotNet.Attributes;

namespace Acquire.Benchmarks;

/// <summary>Emf to temperature, per reading, from 0 °C (type B: 250 °C) to the end of the range: the exact inverse beside the published approximation.</summary>
[MemoryDiagnoser]
[SimpleJob(warmupCount: 2, iterationCount: 5)]
public class ThermocoupleBenchmarks
{
    private const int Readings = 4096;
    private readonly double[] _emfs = new double[Readings];
    private readonly double[] _junctions = new double[Readings];
    private readonly double[] _celsius = new double[Readings];
    private Thermocouple _thermocouple = null!;

    /// <summary>Letter.</summary>
    [Params(ThermocoupleType.B, ThermocoupleType.E, ThermocoupleType.J, ThermocoupleType.K, ThermocoupleType.N, ThermocoupleType.R, ThermocoupleType.S, ThermocoupleType.T)]
    public ThermocoupleType Type { get; set; }

    /// <summary>False: rising, as a heated specimen gives them. True: in no order, so that no two neighbours need share a polynomial.</summary>
    [Params(false, true)]
    public bool Shuffled { get; set; }

    /// <summary>Emfs evenly over the range.</summary>
    [GlobalSetup]
    public void Fill()
    {
        _thermocouple = Thermocouple.Of(Type);
        var lowest = Math.Max(0, _thermocouple.LowestEmfMillivolts);
        var step = (_thermocouple.HighestEmfMillivolts - lowest) / Readings;
        for (var i = 0; i < Readings; i++)
        {
            _emfs[i] = lowest + ((i + 0.5) * step);
            _junctions[i] = 23 + (0.001 * (i % 100));
        }

        if (Shuffled)
        {
            new Random(175).Shuffle(_emfs);
        }
    }

    /// <summary>The published inverse polynomial alone.</summary>
    [Benchmark(Baseline = true, OperationsPerInvoke = Readings)]
    public double Published()
    {
        double sum = 0;
        foreach (var emf in _emfs)
        {
            _ = _thermocouple.TryPublishedInverse(emf, out var celsius);
            sum += celsius;
        }

        return sum;
    }

    /// <summary>The exact inverse, one by one.</summary>
    [Benchmark(OperationsPerInvoke = Readings)]
    public double Exact()
    {
        double sum = 0;
        foreach (var emf in _emfs)
        {
            _ = _thermocouple.TryCelsius(emf, out var celsius);
            sum += celsius;
        }

        return sum;
    }

    /// <summary>The exact inverse of a span.</summary>
    [Benchmark(OperationsPerInvoke = Readings)]
    public double ExactSpan()
    {
        _thermocouple.ToCelsius(_emfs, _celsius);
        return _celsius[^1];
    }

    /// <summary>The exact inverse of a span with a measured reference junction.</summary>
    [Benchmark(OperationsPerInvoke = Readings)]
    public double ExactSpanWithJunctions()
    {
        _thermocouple.ToCelsius(_emfs, _junctions, _celsius);
        return _celsius[^1];
    }
}
