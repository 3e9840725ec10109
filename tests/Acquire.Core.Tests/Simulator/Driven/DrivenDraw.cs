using Acquire.Core.Control;
using Acquire.Core.Methods;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Control;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator.Driven;

/// <summary>A driven determination with everything drawn at random from a number: tester, room, thermometer's lag, specimen, and how wrong the figures of the heater are.</summary>
internal static class DrivenDraw
{
    /// <summary>Each method with a ramp that comes with the program, and the expected flash points that are drawn, °C.</summary>
    public static IReadOnlyList<(string Method, double From, double To)> Methods { get; } =
    [
        ("iso-2592-2017", 130, 320),
        ("astm-d92-18", 130, 320),
        ("bench-open-cup", 80, 250),
        ("iso-2719-2016-a", 75, 250),
        ("astm-d93-20-a", 75, 250),
        ("iso-2719-2016-b", 65, 120),
        ("astm-d93-20-b", 65, 120),
        ("iso-2719-2016-c", 65, 150),
        ("astm-d93-20-c", 65, 150),
        ("iso-13736-2021", 40, 60),
        ("astm-d56-22", 40, 90),
        ("astm-d1310-14", 40, 90),
    ];

    public static DrivenRunOptions Of(string methodId, double from, double to, Knowledge knowledge, int number)
    {
        var random = new Random(number);
        double Between(double low, double high) => low + ((high - low) * random.NextDouble());
        Assert.True(MethodCatalog.TryFind(methodId, out var method));
        var expected = Math.Round(Between(from, to));
        var flash = expected + Between(-3, 3);
        var ambient = Between(18, 28);
        var run = new SimulatorOptions
        {
            Method = method,
            FlashCelsius = flash,
            FireCelsius = method.FirePoint.Determined ? flash + Between(8, 40) : null,
            ExpectedFlashCelsius = expected,
            AmbientCelsius = ambient,
            StartCelsius = Math.Min(ambient, expected - new RunRules(method, expected).Ramp.StartAtLeastBelowExpectedCelsius),
            StationPressureKilopascals = Between(95, 103),
            RowsPerSecond = 25,
            Thermometer = new() { LagSeconds = 3 * Math.Pow(10, random.NextDouble()) },
            CoolingSeconds = 30,
            Seed = (ulong)number,
        };
        var tester = new DrivenOptions { Run = run, Plant = DrivenPlantDraw.Draw(method, expected, ambient, (ulong)number), ReactionSeconds = Between(0.1, 0.4) };
        double Wrong() => knowledge == Knowledge.Good ? Between(0.85, 1.15) : 1 + (Between(0.15, 0.5) * (random.Next(2) == 0 ? 1 : -1));
        var known = knowledge == Knowledge.None ? HeaterModel.Unknown : tester.Plant.Described(run, Wrong) with { AmbientCelsius = 23 };
        return DrivenRunOptions.For(tester) is var usual ? usual with { Settings = usual.Settings with { Heater = known, ReactionSeconds = 0.2 } } : usual;
    }
}
