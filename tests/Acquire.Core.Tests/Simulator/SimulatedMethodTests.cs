using Acquire.Core.Methods;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator;

/// <summary>A simulated tester follows each method that has a ramp, and the supervisor finds what truly happened.</summary>
public sealed class SimulatedMethodTests
{
    [Theory]
    [InlineData("iso-2719-2016-a", 62, null)]
    [InlineData("iso-2719-2016-a", 150, null)]
    [InlineData("iso-2719-2016-b", 90, null)]
    [InlineData("iso-2719-2016-c", 130, null)]
    [InlineData("astm-d93-20-a", 110, null)]
    [InlineData("astm-d93-20-b", 120, null)]
    [InlineData("astm-d93-20-c", 170, null)]
    [InlineData("iso-13736-2021", 40, null)]
    [InlineData("iso-13736-2021", -15, null)]
    [InlineData("astm-d56-22", 40, null)]
    [InlineData("astm-d56-22", 75, null)]
    [InlineData("astm-d1310-14", 5, 14.0)]
    [InlineData("astm-d1310-14", 60, 70.0)]
    [InlineData("bench-open-cup", 200, 215.0)]
    public void A_run_by_the_method_is_valid_and_gives_the_flash_point(string id, double flash, double? fire)
    {
        Assert.True(MethodCatalog.TryFind(id, out var method));
        for (var seed = 1UL; seed <= 2; seed++)
        {
            var run = new SimulatedRun(new() { Method = method, FlashCelsius = flash, FireCelsius = fire, Seed = seed, RowsPerSecond = 25 });
            var plan = new RunPlan { Method = method, ExpectedFlashCelsius = run.Truth.ExpectedFlashCelsius, StationPressureKilopascals = 101.3, HasFlameSignal = true };

            var result = RunReplay.Run(plan, run);

            var story = $"{id}, seed {seed}: {result.Verdict}, {result.Flash?.ObservedCelsius:F2} °C; {string.Join("; ", result.Findings)}";
            Assert.True(result.Verdict == Verdict.Valid, story);
            Assert.True(Math.Abs(result.Flash!.ObservedCelsius - run.Truth.Flash!.TemperatureCelsius) < 0.2, story);
            // The first application at or above the flash point shows it, or by chance the one after.
            Assert.InRange(result.Flash.ObservedCelsius - flash, -1, plan.Rules.Applications.IntervalCelsius + 0.7);
            Assert.Equal(fire is null, result.Fire is null);
            Assert.True(result.Fire is null || Math.Abs(result.Fire.ObservedCelsius - run.Truth.Fire!.TemperatureCelsius) < 0.5, story);
        }
    }

    [Fact]
    public void A_method_that_tests_one_temperature_asks_for_it()
    {
        Assert.True(MethodCatalog.TryFind("iso-3679-2022-a", out var method));

        var error = Assert.Single(new SimulatorOptions { Method = method, FlashCelsius = 60 }.Check());

        Assert.Equal("specificationCelsius", error.Path);
        Assert.Empty(new SimulatorOptions { Method = method, FlashCelsius = 60, SpecificationCelsius = 55 }.Check());
    }
}
