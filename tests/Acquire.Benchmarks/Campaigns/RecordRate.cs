using System.Globalization;
using System.Text;
using Acquire.Core.Detection;

namespace Acquire.Benchmarks.Campaigns;

/// <summary>The rate that goes on record: how far it scatters, how far it is off, and whether its stated uncertainty is honest.</summary>
internal static class RecordRate
{
    private static readonly RampScene Scene = new() { From = 5.5, To = 5.5 };

    private static readonly (string Name, RampScene Scene)[] Scenes =
    [
        ("0.05 °C noise, steps of 0.1 °C, 10 a second", Scene),
        ("no display step", Scene with { Step = 0 }),
        ("noise 0.02 °C", Scene with { Noise = 0.02 }),
        ("no noise", Scene with { Noise = 0 }),
        ("steps of 0.5 °C, noise 0.05 °C", Scene with { Step = 0.5 }),
        ("steps of 1 °C, noise 0.05 °C", Scene with { Step = 1 }),
        ("1 a second", Scene with { PerSecond = 1 }),
        ("50 a second", Scene with { PerSecond = 50 }),
        ("uneven, holes of up to 5 s", Scene with { Uneven = true, LossShare = 0.03 }),
        ("1 % of the readings off by up to 3 °C", Scene with { WildShare = 0.01 }),
        ("flame warms by 0.3 °C", Scene with { HumpCelsius = 0.3 }),
        ("noise with a memory of 0.3 s, 0.05 °C, beside the white", Scene with { SlowNoise = 0.05, MemorySeconds = 0.3 }),
        ("memory of 1 s", Scene with { SlowNoise = 0.05, MemorySeconds = 1 }),
        ("memory of 5 s", Scene with { SlowNoise = 0.05, MemorySeconds = 5 }),
    ];

    /// <summary>Appends the table.</summary>
    public static void Write(StringBuilder tables, double share, int seed)
    {
        var runs = (int)(4000 * share);
        tables.AppendLine(CultureInfo.InvariantCulture, $"The rate over 30 s, {runs} windows at 5.5 °C/min, held-out seeds; °C/min:");
        tables.AppendLine();
        tables.AppendLine("| readings | standard deviation | bias | mean stated uncertainty by standard deviation |");
        tables.AppendLine("| --- | --- | --- | --- |");
        foreach (var (name, scene) in Scenes)
        {
            var (deviation, bias, stated) = Measure(scene, seed, runs);
            tables.AppendLine(CultureInfo.InvariantCulture, $"| {name} | {deviation:0.0000} | {bias:0.0000} | {stated / deviation:0.00} |");
        }

        tables.AppendLine();
    }

    private static (double Deviation, double Bias, double Stated) Measure(RampScene scene, int seed, int runs)
    {
        var lines = new LineFit[runs];
        Parallel.For(0, runs, run =>
        {
            var ramp = new RampEstimator();
            scene.Run(seed + run, 60 + (run % 20), (t, celsius) =>
            {
                ramp.Add(t, celsius);
                return true;
            });
            lines[run] = ramp.Fit(RampEstimator.RecordWindowSeconds, double.NegativeInfinity) ?? throw new InvalidOperationException("No rate in a full window.");
        });
        var bias = lines.Average(line => line.SlopePerSecond * 60) - scene.From;
        var deviation = Math.Sqrt(lines.Average(line => Math.Pow((line.SlopePerSecond * 60) - scene.From - bias, 2)));
        return (deviation, bias, lines.Average(line => line.SlopeUncertaintyPerSecond * 60));
    }
}
