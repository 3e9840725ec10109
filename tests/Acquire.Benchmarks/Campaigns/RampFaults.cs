using System.Globalization;
using System.Text;

namespace Acquire.Benchmarks.Campaigns;

/// <summary>The early warning where the thermometer is not as it should be.</summary>
internal static class RampFaults
{
    private static readonly RampScene Scene = new();

    private static readonly (string Name, RampScene Scene)[] Scenes =
    [
        ("as above", Scene),
        ("1 reading a second", Scene with { PerSecond = 1 }),
        ("3 a second, uneven", Scene with { PerSecond = 3, Uneven = true }),
        ("50 a second", Scene with { PerSecond = 50 }),
        ("500 a second", Scene with { PerSecond = 500 }),
        ("uneven, holes of up to 5 s", Scene with { Uneven = true, LossShare = 0.03 }),
        ("steps of 0.1 °C, noise 0.02", Scene with { Noise = 0.02 }),
        ("steps of 0.1 °C, no noise", Scene with { Noise = 0 }),
        ("steps of 0.5 °C, noise 0.05", Scene with { Step = 0.5 }),
        ("steps of 0.5 °C, no noise, 1 a second", Scene with { Step = 0.5, Noise = 0, PerSecond = 1 }),
        ("steps of 1 °C, no noise", Scene with { Step = 1, Noise = 0 }),
        ("steps of 1 °C, noise 0.05", Scene with { Step = 1 }),
        ("steps of 1 °C, noise 0.2", Scene with { Step = 1, Noise = 0.2 }),
        ("0.1 % of the readings off by up to 3 °C", Scene with { WildShare = 0.001 }),
        ("1 % of the readings off by up to 3 °C", Scene with { WildShare = 0.01 }),
        ("flame warms by 0.1 °C", Scene with { HumpCelsius = 0.1 }),
        ("flame warms by 0.2 °C", Scene with { HumpCelsius = 0.2 }),
        ("flame warms by 0.3 °C", Scene with { HumpCelsius = 0.3 }),
        ("flame warms by 0.5 °C, 2 s", Scene with { HumpCelsius = 0.5, HumpSeconds = 2 }),
        ("flame warms by 0.3 °C, 2 s, cools slowly", Scene with { HumpCelsius = 0.3, HumpSeconds = 2, HumpDecaySeconds = 1 }),
        ("noise with a memory of 0.3 s, 0.05 °C, beside the white", Scene with { SlowNoise = 0.05, MemorySeconds = 0.3 }),
        ("memory of 1 s", Scene with { SlowNoise = 0.05, MemorySeconds = 1 }),
        ("memory of 5 s", Scene with { SlowNoise = 0.05, MemorySeconds = 5 }),
    ];

    /// <summary>Appends the table.</summary>
    public static void Write(StringBuilder tables, double share, int seed)
    {
        var (runs, steps) = ((int)(500 * share), (int)(500 * share));
        tables.AppendLine(CultureInfo.InvariantCulture, $"The test in use where readings are otherwise ({runs} runs of 600 s at each end, {steps} steps from 5.5 to 7.0 °C/min, held-out seeds). *Flame known*: the program knows when the flame was over the cup, every 20 s here; *unknown*: nothing tells.");
        tables.AppendLine();
        tables.AppendLine("| readings | flame known: false at 5.8, at 5.2, % | 5.5 → 7.0: mean | p95, s | flame unknown: false at 5.8, at 5.2, % |");
        tables.AppendLine("| --- | --- | --- | --- | --- |");
        foreach (var (name, scene) in Scenes)
        {
            // The flame of a scene without humps is none: then there is nothing to know.
            Func<double, double>? flame = scene.HumpCelsius > 0 ? static t => t : null;
            var known = Ends(scene, flame, seed, runs);
            var delays = RampCampaign.Delays(scene with { From = 5.5, To = 7, TurnSeconds = 60 }, () => new WatchRival(6, 1, flame), seed + 1_000_000, steps);
            tables.AppendLine(CultureInfo.InvariantCulture, $"| {name} | {known} | {RampReport.Text(delays.Average())} | {RampReport.Text(RampReport.At(delays, 0.95))} | {(flame is null ? "" : Ends(scene, null, seed, runs))} |");
        }

        tables.AppendLine();
    }

    private static string Ends(RampScene scene, Func<double, double>? flame, int seed, int runs)
    {
        var upper = RampCampaign.FalseShare(scene, () => new WatchRival(6, 1, flame), seed, runs);
        var lower = RampCampaign.FalseShare(scene with { From = 5.2, To = 5.2 }, () => new WatchRival(5, -1, flame), seed, runs);
        return string.Create(CultureInfo.InvariantCulture, $"{upper:0.0}, {lower:0.0}");
    }
}
