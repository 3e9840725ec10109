using Acquire.Benchmarks.Campaigns.Flash;
using Acquire.Core.Methods;
using Acquire.Core.Runs;
using Acquire.Simulator;

namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>Draws whole runs of the simulator at the design scene: a flash of 8 sigma and 150 ms below pass and halo.</summary>
internal static class RunDraw
{
    /// <summary>The methods with a ramp, in the order of the catalogue.</summary>
    public static IReadOnlyList<MethodDefinition> Methods { get; } = [.. MethodCatalog.All.Where(method => method.Procedure == ProcedureKind.Ramp)];

    // Far from the ends of a method's scope, so that expectation and pressure do not leave it.
    private const double LeastFlashCelsius = 48, MostFlashCelsius = 300, WithinScopeCelsius = 5;
    private const double FirePointRoomCelsius = 25;

    /// <summary>The run of a seed.</summary>
    /// <param name="seed">Decides everything that scatters.</param>
    /// <param name="method">The method.</param>
    /// <param name="two">Whether the tester has two detectors.</param>
    /// <param name="rowsPerSecond">Readings a second.</param>
    /// <param name="disturbances">What disturbs it.</param>
    public static SimulatorOptions Options(ulong seed, MethodDefinition method, bool two, double rowsPerSecond, params IReadOnlyList<Disturbance> disturbances)
    {
        var random = new SceneRandom(seed);
        var scope = method.FlashScopeCelsius;
        var fires = method.FirePoint.Determined;
        var highest = Math.Min(method.FirePoint.HighestCelsius ?? double.PositiveInfinity, Math.Min(scope.To, MostFlashCelsius)) - WithinScopeCelsius - (fires ? FirePointRoomCelsius : 0);
        var flash = random.Between(Math.Max(LeastFlashCelsius, scope.From + WithinScopeCelsius), highest);
        var expected = Math.Round(flash + random.Between(-3, 3));
        var rules = new RunRules(method, expected);
        var band = rules.Ramp.ControlledHeatingCelsiusPerMinute;

        // A minute of heating before the first application, so that the rate has settled; no more, because nothing happens there.
        var lead = Math.Clamp((band.From + band.To) / 2, 2, 6);
        return new()
        {
            Method = method,
            FlashCelsius = flash,
            FireCelsius = fires ? flash + random.Between(8, 18) : null,
            ExpectedFlashCelsius = expected,
            StationPressureKilopascals = random.Between(98, 104),
            ShortBurns = random.Unit() < 0.3,
            StartCelsius = Math.Min(rules.StartAtMostCelsius, rules.FirstApplicationCelsius - lead),
            RowsPerSecond = rowsPerSecond,
            CoolingSeconds = 3,
            Scene = DetectorScene.Hard,
            TwoDetectors = two,
            Disturbances = disturbances,
            Seed = seed,
        };
    }

    /// <summary>The plan that a person would make for it.</summary>
    public static RunPlan Plan(SimulatorOptions options) => options.Aim.Plan(options.Method) with
    {
        StationPressureKilopascals = options.StationPressureKilopascals,
        HasFlameSignal = options.HasFlameSignal,
        Thermometer = options.Thermometer.Chain,
    };
}
