using Acquire.Core.Readings;

namespace Acquire.Simulator;

/// <summary>Reads a script the way a tester's electronics would: at moments, with noise, in steps.</summary>
internal sealed class RowRenderer
{
    private readonly SimulatorOptions options;
    private readonly RunScript script;
    private readonly SignalSource signals;
    private readonly ReferenceJunction junction;
    private readonly bool isPlain;
    private readonly SimulatorRandom clockRandom;
    private readonly DetectorChannel? detector;
    private readonly DetectorChannel? secondDetector;
    private readonly BenchSource bench;
    private int currentPass;

    public RowRenderer(SimulatorOptions options, RunScript script)
    {
        this.options = options;
        this.script = script;
        signals = new(options);
        junction = new(options, script.Truth);
        bench = new(options, script.Truth);
        isPlain = options.Thermometer.Chain.IsPlain;
        clockRandom = new(options.Seed, RandomPurpose.Clock);
        if (options.Analyst is null)
        {
            detector = new(options, script, options.TwoDetectors ? DetectorKind.Ionisation : options.Detector, isSecond: false);
            secondDetector = options.TwoDetectors ? new(options, script, DetectorKind.Thermal, isSecond: true) : null;
        }
    }

    public IEnumerable<ReadingRow> Rows()
    {
        var previous = -1 / options.RowsPerSecond;
        for (var index = 0L; ; index++)
        {
            // To a tenth of a millisecond, as the wire states it: what is written is when it was read.
            var seconds = Math.Round((index / options.RowsPerSecond) + Jitter(index), 4);
            if (seconds > script.Truth.EndSeconds)
            {
                yield break;
            }

            yield return Row(seconds, seconds - previous);
            previous = seconds;
        }
    }

    private double Jitter(long index) => options.TimestampJitterSeconds == 0 || index == 0
        ? 0
        : options.TimestampJitterSeconds * Math.Clamp(clockRandom.NextGaussian(), -2, 2);

    private ReadingRow Row(double seconds, double sincePrevious)
    {
        var thermometer = signals.Read(seconds, script.ReadAt(seconds), junction.CelsiusAt(seconds), junction.SensedAt(seconds));
        var present = (detector is null ? 0 : RowChannels.Detector) | (secondDetector is null ? 0 : RowChannels.SecondDetector)
            | (options.HasFlameSignal ? RowChannels.Flame : 0) | (thermometer.JunctionCelsius is null ? 0 : RowChannels.Junction);
        if (thermometer.Signal is not null)
        {
            present |= isPlain ? RowChannels.Temperature : RowChannels.Signal;
        }

        var value = thermometer.Signal ?? 0;
        return bench.Read(new(seconds, present, isPlain ? value : 0, detector?.Read(seconds, sincePrevious) ?? 0, options.HasFlameSignal && FlameIsOver(seconds))
        {
            // No converter sends a negative zero.
            Signal = isPlain ? 0 : value + 0.0,
            JunctionCelsius = thermometer.JunctionCelsius ?? 0,
            SecondDetector = secondDetector?.Read(seconds, sincePrevious) ?? 0,
        });
    }

    private bool FlameIsOver(double seconds)
    {
        var passes = script.Truth.Applications;
        while (currentPass < passes.Count && seconds > passes[currentPass].TimeSeconds + passes[currentPass].DurationSeconds)
        {
            currentPass++;
        }

        return currentPass < passes.Count && seconds >= passes[currentPass].TimeSeconds;
    }

    /// <summary>The step nearest to a value.</summary>
    internal static double InSteps(double value, double step) => Math.Round(Math.Round(value / step) * step, 6);
}
