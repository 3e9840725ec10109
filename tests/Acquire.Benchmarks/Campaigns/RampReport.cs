using System.Globalization;
using System.Text;

namespace Acquire.Benchmarks.Campaigns;

/// <summary>Measures the early warning and the rate on record on made-up courses, and writes the figures into the documentation.</summary>
/// <remarks>Constants were set on the tuning seeds alone. The held-out seeds are for the figures.</remarks>
internal static class RampReport
{
    private const int TuningSeed = 1;
    private const int HeldOutSeed = 8_000_000;

    // Steps take other seeds than legal runs.
    private const int StepSeeds = 1_000_000;

    private static readonly RampScene Scene = new();

    private static readonly (string Name, Func<RampRival> Make)[] Rivals =
    [
        ("line over 12 s, as before", static () => new WindowRival(6)),
        ("line over 12 s, 1 % false", static () => new WindowRival(6) { Margin = 0.19 }),
        ("line over 12 s and its growth, as before", static () => new WindowRival(6) { Growth = 4.25 }),
        ("line over 12 s and its growth, 1 % false", static () => new WindowRival(6) { Margin = 0.19, Growth = 5 }),
        ("in use", static () => new WatchRival(6, 1)),
        ("in use, a flame just gone all the time", static () => new WatchRival(6, 1, static t => t)),
    ];

    /// <summary>Writes the tables; the first word may be a share of the runs, for a quick look that is not written.</summary>
    public static void Write(string[] args)
    {
        var share = args is [var text, ..] ? double.Parse(text, CultureInfo.InvariantCulture) : 1;
        var tables = new StringBuilder();
        Turns(tables, share);
        RampFaults.Write(tables, share, HeldOutSeed);
        RecordRate.Write(tables, share, HeldOutSeed);
        Console.Write(tables);
        if (share >= 1)
        {
            DocumentFigures.Replace("docs/detection.md", "ramp figures", tables.ToString());
        }
    }

    private static void Turns(StringBuilder tables, double share)
    {
        var (runs, steps) = ((int)(4000 * share), (int)(3000 * share));
        tables.AppendLine(CultureInfo.InvariantCulture, $"{runs} legal runs of 600 s at 5.8 °C/min and {steps} steps of each kind, in both sets of seeds; 0.05 °C noise, 10 readings a second, shown in steps of 0.1 °C; band 5 to 6 °C/min. Delay in s; tuning seeds / held-out seeds.");
        tables.AppendLine();
        tables.AppendLine("| test | false, % of runs | 5.5 → 7.0: mean | p95 | p99 | 5.5 → 6.5: median | p95 | 5.8 → 7.0: mean | p95 | 5.2 → 5.8 at once, over 20 s, over 60 s: alarms, % |");
        tables.AppendLine("| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |");
        foreach (var (name, make) in Rivals)
        {
            var both = new[] { TuningSeed, HeldOutSeed }.Select(seed => Figures(make, seed, runs, steps)).ToArray();
            tables.Append("| ").Append(name).Append(" |");
            for (var i = 0; i < both[0].Length; i++)
            {
                tables.Append(CultureInfo.InvariantCulture, $" {both[0][i]} / {both[1][i]} |");
            }

            tables.AppendLine();
        }

        tables.AppendLine(CultureInfo.InvariantCulture, $"| bound T* | 1 | {Bound(1.5):0.0} | | | {Bound(1):0.0} | | {Bound(1.2):0.0} | | |");
        tables.AppendLine();
    }

    private static string[] Figures(Func<RampRival> make, int seed, int runs, int steps)
    {
        var fast = Step(5.5, 7, make, seed, steps);
        var slight = Step(5.5, 6.5, make, seed, steps);
        var near = Step(5.8, 7, make, seed, steps);
        var legal = new[] { 0.0, 20, 60 }.Select(easy =>
            RampCampaign.FalseShare(Scene with { From = 5.2, To = 5.8, TurnSeconds = 90, EasySeconds = easy }, make, seed, runs / 2, 130).ToString("0.0", CultureInfo.InvariantCulture));
        return
        [
            RampCampaign.FalseShare(Scene, make, seed, runs).ToString("0.00", CultureInfo.InvariantCulture),
            Text(fast.Average()), Text(At(fast, 0.95)), Text(At(fast, 0.99)),
            Text(At(slight, 0.5)), Text(At(slight, 0.95)),
            Text(near.Average()), Text(At(near, 0.95)),
            string.Join(", ", legal),
        ];
    }

    private static double[] Step(double from, double to, Func<RampRival> make, int seed, int steps) =>
        RampCampaign.Delays(Scene with { From = from, To = to, TurnSeconds = 60 }, make, seed + StepSeeds, steps);

    // Mean delay to a change of the rate by d °C/min, one false alarm in a hundred runs: (6 s² ln γ/(d² f))^⅓, by the growth of the likelihood ratio.
    private static double Bound(double turn)
    {
        var variance = (Scene.Noise * Scene.Noise) + (Scene.Step * Scene.Step / 12);
        var readings = 600 * Scene.PerSecond * 100;
        return Math.Cbrt(6 * variance * Math.Log(readings) / (turn / 60 * (turn / 60) * Scene.PerSecond));
    }

    /// <summary>A quantile of growing figures.</summary>
    internal static double At(double[] growing, double share) => growing[Math.Min(growing.Length - 1, (int)(growing.Length * share))];

    /// <summary>A delay; "none" where there is none.</summary>
    internal static string Text(double seconds) => double.IsFinite(seconds) ? seconds.ToString("0.0#", CultureInfo.InvariantCulture) : "none";
}
