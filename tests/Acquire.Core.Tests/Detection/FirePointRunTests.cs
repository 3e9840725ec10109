using Acquire.Core.Methods;
using Acquire.Core.Runs;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Detection;

/// <summary>Whole runs whose fire point was once told at an earlier application, not at all, or by more than half a second off.</summary>
public sealed class FirePointRunTests
{
    private const double WithinSeconds = 0.5;

    [Theory]

    // The level creeps away for seconds after a flash that did not burn.
    [InlineData(8000002762, "astm-d92-18", 263.7918148269164, 272.7991909190913, 262, 99.46884651631916, true, 206, 50, true, DisturbanceKind.Reordered)]
    [InlineData(469, "astm-d1310-14", 83.07016926474303, 99.73006026241069, 82, 101.28572341312335, true, 71, 50, true, DisturbanceKind.Dropped)]

    // A burn of 2.5 s, and the level that it leaves; the same with foam that breaks after it.
    [InlineData(8000003870, "bench-open-cup", 177.27077061108278, 192.01261369785493, 178, 100.35201029592235, true, 148, 50, true, DisturbanceKind.Draught)]
    [InlineData(8000004518, "bench-open-cup", 117.38234982015432, 127.80881324269095, 116, 103.1425229267222, true, 86, 50, false, DisturbanceKind.Foam)]

    // Foam broke as one of the passes before the flash was judged; the fire came while the detector drifted.
    [InlineData(8000011252, "iso-2592-2017", 265.95210860471536, 283.77507875475305, 268, 100.54600792973906, false, 212, 50, true, DisturbanceKind.Foam)]

    // Before a detector that drifts a fire no higher than eight times its scatter, which after a flash is enough.
    [InlineData(8000009668, "iso-2592-2017", 229.19973080646238, 246.5522712522084, 227, 99.28475423466774, false, 171, 200, false, DisturbanceKind.Foam)]

    // A later flicker of the fire, by more than half of what burns, was told as its beginning.
    [InlineData(8000005496, "astm-d1310-14", 108.89186753880831, 118.64870289039551, 110, 103.31511767028508, false, 99, 50, true, DisturbanceKind.Hum)]
    [InlineData(8000002096, "iso-2592-2017", 210.30223318407252, 223.80437358951582, 212, 98.34663411763172, false, 156, 50, false, DisturbanceKind.DoubleFlash)]
    [InlineData(8000007334, "astm-d92-18", 156.13190991729414, 173.80185916858522, 156, 99.57984880854946, false, 100, 50, false, DisturbanceKind.Hum)]
    [InlineData(8000010328, "iso-2592-2017", 175.2884248181095, 190.59556522320224, 173, 102.68318217860798, false, 117, 50, false, DisturbanceKind.HeaterOvershoot)]

    // The halo of the test flame stood before the fire, which lit by less than half of what burned later.
    [InlineData(8000002048, "iso-2592-2017", 174.49998971724705, 184.71277454609046, 175, 98.56524618078988, true, 119, 50, false, DisturbanceKind.Hum)]
    [InlineData(199, "bench-open-cup", 240.36106620949204, 255.8524213667378, 239, 99.6068016166856, false, 209, 50, false, DisturbanceKind.Foam)]
    public void The_fire_point_is_the_one_that_burned_for_the_seconds_of_the_method(ulong seed, string methodId, double flashCelsius, double fireCelsius, double expectedCelsius, double kilopascals, bool shortBurns, double startCelsius, double rowsPerSecond, bool two, DisturbanceKind disturbance)
    {
        Assert.True(MethodCatalog.TryFind(methodId, out var method));
        var run = new SimulatedRun(new()
        {
            Method = method,
            FlashCelsius = flashCelsius,
            FireCelsius = fireCelsius,
            ExpectedFlashCelsius = expectedCelsius,
            StationPressureKilopascals = kilopascals,
            ShortBurns = shortBurns,
            StartCelsius = startCelsius,
            RowsPerSecond = rowsPerSecond,
            CoolingSeconds = 3,
            Scene = DetectorScene.Hard,
            TwoDetectors = two,
            Disturbances = [new(disturbance)],
            Seed = seed,
        });

        var result = RunReplay.Run(new RunPlan { Method = method, ExpectedFlashCelsius = expectedCelsius, StationPressureKilopascals = kilopascals, HasFlameSignal = true }, run);

        Assert.NotNull(result.Fire);
        Assert.InRange(result.Fire.TimeSeconds - run.Truth.Fire!.TimeSeconds, -WithinSeconds, WithinSeconds);
    }
}
