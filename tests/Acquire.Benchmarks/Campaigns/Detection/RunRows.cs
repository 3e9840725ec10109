using Acquire.Benchmarks.Campaigns.Flash;
using Acquire.Simulator;

namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>One row of the table of whole runs: a disturbance on top of those that the design scene has anyway.</summary>
/// <param name="Name">What it is.</param>
/// <param name="Disturbances">What is added.</param>
internal sealed record RunRow(string Name, IReadOnlyList<Disturbance> Disturbances);

/// <summary>The whole runs in which the flash is there to be found, and how they are shared out.</summary>
internal static class RunRows
{
    // A tenth at 200 rows a second: four times the work.
    private const double FastShare = 0.1, UsualRows = 50, FastRows = 200;

    // Of so many runs one has one detector; the design scene has two.
    private const int Shares = 6;

    // Coprime to the number of combinations, so that few runs have all of them mixed.
    private const int Stride = 127;

    public static IReadOnlyList<RunRow> All { get; } =
    [
        new("the design scene", []),
        .. new[]
        {
            DisturbanceKind.Draught, DisturbanceKind.Hum, DisturbanceKind.Spikes, DisturbanceKind.Drift, DisturbanceKind.LateFlash, DisturbanceKind.DoubleFlash,
            DisturbanceKind.Foam, DisturbanceKind.HeaterOvershoot, DisturbanceKind.Dropped, DisturbanceKind.Duplicated, DisturbanceKind.Reordered,
        }.Select(kind => new RunRow("`" + DisturbanceFacts.Of(kind).Word + "`", [new(kind)])),
    ];

    /// <summary>Other than the design scene, and no part of its counts.</summary>
    public static IReadOnlyList<RunRow> Beside { get; } =
    [
        new("flash of 6 sigma", [new(DisturbanceKind.WeakFlash, 6)]),
        new("draught of 2 sigma all along", [new(DisturbanceKind.Draught, 2)]),
        new("hum of 3 sigma", [new(DisturbanceKind.Hum, 3)]),
    ];

    /// <summary>The i-th run beside the design scene: the rows, methods and numbers of detectors in turn.</summary>
    public static (RunRow Row, SimulatorOptions Options) RunBeside(SeedSet set, int i)
    {
        var (methods, rows) = (RunDraw.Methods.Count, Beside.Count);
        var row = Beside[i % rows];
        return (row, RunDraw.Options(set.First + (ulong)i, RunDraw.Methods[i / rows % methods], i / rows / methods % 2 == 1, UsualRows, row.Disturbances));
    }

    /// <summary>The i-th run of a set: equally many of each method and disturbance, five of six with two detectors.</summary>
    public static (RunRow Row, SimulatorOptions Options) Run(SeedSet set, int i)
    {
        var seed = set.First + (ulong)i;
        var (methods, rows) = (RunDraw.Methods.Count, All.Count);
        var mixed = (int)((long)i * Stride % (methods * rows * Shares));
        var row = All[mixed / methods % rows];
        var perSecond = new SceneRandom(~seed).Unit() < FastShare ? FastRows : UsualRows;
        return (row, RunDraw.Options(seed, RunDraw.Methods[mixed % methods], mixed / methods / rows > 0, perSecond, row.Disturbances));
    }
}
