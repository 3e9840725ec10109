using Acquire.Benchmarks.Campaigns.Flash;

namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>What a row of scenes must reach; null where nothing is asked of that figure. Shares of 1; times in ms.</summary>
internal sealed record SceneGoal(double? FalseRate = null, double? MissedRate = null, double? OnsetMilliseconds = null);

/// <summary>One row of the table of scenes.</summary>
/// <param name="Name">What is different.</param>
/// <param name="Options">The scenes.</param>
/// <param name="Goal">What must be reached; null for a row that stands for comparison, whose faults are counted and not shown.</param>
internal sealed record SceneRow(string Name, SceneOptions Options, SceneGoal? Goal = null)
{
    /// <summary>Whether its operating curve is drawn.</summary>
    public bool Plotted { get; init; }

    /// <summary>Whether the distribution of its evidence is drawn.</summary>
    public bool Counted { get; init; }
}

/// <summary>The rows of the table of scenes.</summary>
internal static class SceneRows
{
    private static readonly SceneOptions One = SceneOptions.OneDetector, Two = SceneOptions.TwoDetectors;

    /// <summary>Two flashes of 10,000, as a share.</summary>
    public const double FewMissed = 2.0 / 10_000;

    // Twelve bare passes a scene in 10,000 scenes: two of them.
    private const double FewFalse = FewMissed / 12;

    // So many waves make a flicker that keeps no beat.
    private const int ManyWaves = 40;

    public static IReadOnlyList<SceneRow> All { get; } =
    [
        .. Rates("one detector", One),
        .. Rates("two detectors", Two),
        new("halo 0.3 to 0.5 s, of any height at each pass, one detector", One.WithHalo(0.3, 0.5), new(FalseRate: 0.001)),
        new("halo 0.5 to 0.8 s, of any height at each pass, one detector", One.WithHalo(0.5, 0.8), new(FalseRate: 0.001)),
        new("fast halo 0.15 to 0.3 s, of any height at each pass, two detectors", Two.WithHalo(0.15, 0.3), new(FalseRate: 0.0005)),
        new("fast halo 0.15 to 0.3 s, of any height at each pass, one detector: cannot be told", One.WithHalo(0.15, 0.3)) { Plotted = true },
        new("draught of 2 sigma, one detector", One with { DraughtSigma = 2 }),
        new("draught of 2 sigma, two detectors", Two with { DraughtSigma = 2 }),
        new("draught without a beat, one detector", One with { DraughtWaves = ManyWaves }),
        new("draught without a beat, two detectors", Two with { DraughtWaves = ManyWaves }),
        new("6 sigma, draught without a beat, two detectors", Two with { DraughtWaves = ManyWaves, FlashSigma = 6 }),
        new("draught of 2 sigma at every pass, one detector", One with { DraughtSigma = 2, DraughtShare = 1 }),
        new("no wild readings, one detector", One with { SpikesPerSecond = 0 }),
        new("ten times as many wild readings, one detector", One with { SpikesPerSecond = 0.5 }),
        .. new[] { 45.0, 49, 55, 60, 98 }.Select(rate => new SceneRow(Invariant($"hum of 50.03 Hz at {rate} rows a second, one detector"), One with { RowsPerSecond = rate })),
        new("hum of 50.03 Hz and 2 sigma at 55 rows a second, one detector", One with { RowsPerSecond = 55, HumSigma = 2 }),
        new("hum of 50.03 Hz and 2 sigma at 55 rows a second, two detectors", Two with { RowsPerSecond = 55, HumSigma = 2 }),
        .. from row in new[] { (Options: One, Sigma: 8.0, Rate: 50.0), (Two, 8, 50), (Two, 8, 200), (Two, 6, 50), (Two, 6, 200) }
           select new SceneRow(Invariant($"{row.Sigma} sigma, {row.Rate} rows a second, times scattered over nine tenths of the spacing, {(row.Options.Two ? "two detectors" : "one detector")}"), row.Options with { FlashSigma = row.Sigma, RowsPerSecond = row.Rate, TimeScatter = 0.9 }),
        new("10 rows a second, one detector: too few", One with { RowsPerSecond = 10 }),
        new("10 rows a second, two detectors: too few", Two with { RowsPerSecond = 10 }),
    ];

    private static IEnumerable<SceneRow> Rates(string name, SceneOptions options) =>
        from sigma in new[] { 8.0, 6, 4 }
        from rate in new[] { 25.0, 50, 100, 200, 500 }
        select new SceneRow(Invariant($"{sigma} sigma, {rate} rows a second, {name}"), options with { FlashSigma = sigma, RowsPerSecond = rate }, Goal(options.Two, sigma, rate))
        {
            Plotted = (sigma, rate) is (4, 50) or (4, 200),
            Counted = (sigma, rate) is (8, 50) or (6, 50),
        };

    // Goals are stated for 50 and 200 rows a second, and for the design scene, which has two detectors.
    private static SceneGoal? Goal(bool two, double sigma, double rate) => !two ? null : (sigma, rate) switch
    {
        (8, 50) => new(FewFalse, FewMissed, 10),
        (8, 200) => new(FewFalse, FewMissed, 5),
        (6, 50) or (6, 200) => new(MissedRate: 0.003),
        (4, 200) => new(MissedRate: 0.03),
        _ => null,
    };

    private static string Invariant(FormattableString text) => FormattableString.Invariant(text);
}
