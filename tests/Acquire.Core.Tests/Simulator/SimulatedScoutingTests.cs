using Acquire.Core.Methods;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator;

public sealed class SimulatedScoutingTests
{
    private static MethodDefinition Find(string id) => MethodCatalog.TryFind(id, out var method) ? method : throw new InvalidOperationException(id);

    [Theory]
    [InlineData("iso-2592-2017", 97, 121.0, null)]
    [InlineData("astm-d92-18", 92, null, null)]
    [InlineData("iso-2719-2016-a", 72, null, "up to 110 °C")]
    [InlineData("astm-d93-20-a", 131, null, "above 110 °C")]
    [InlineData("iso-2719-2016-b", 48, null, "up to 110 °C")]
    [InlineData("iso-2719-2016-c", 71, null, null)]
    [InlineData("bench-open-cup", 88, 110.0, null)]
    public void A_scouting_run_says_what_to_expect_and_the_run_after_it_reports_it(string id, double flash, double? fire, string? variant)
    {
        var cold = new SimulatorOptions { Method = Find(id), FlashCelsius = flash, FireCelsius = fire, Scouting = true, RowsPerSecond = 20, Seed = 7 };
        var scouted = RunReplay.Run(new RunPlan { Method = cold.Method, ExpectedFlashCelsius = null, Scouting = true, StationPressureKilopascals = 101.3, HasFlameSignal = true }, new SimulatedRun(cold));

        Assert.True(scouted.Verdict == Verdict.Valid, string.Join("; ", scouted.Findings));
        Assert.Equal(variant, scouted.Next!.Variant);
        Assert.InRange(scouted.Next.ExpectedFlashCelsius - flash, -2, 3);
        var proper = cold with { Scouting = false, ExpectedFlashCelsius = scouted.Next.ExpectedFlashCelsius, FireCelsius = null, StartCelsius = Math.Min(25, scouted.Next.FirstApplicationCelsius - 8) };
        var reported = RunReplay.Run(new RunPlan { Method = cold.Method, ExpectedFlashCelsius = scouted.Next.ExpectedFlashCelsius, StationPressureKilopascals = 101.3, HasFlameSignal = true }, new SimulatedRun(proper));

        Assert.True(reported.Verdict == Verdict.Valid, string.Join("; ", reported.Findings));
        Assert.InRange(reported.Flash!.ReportedCelsius!.Value - flash, -2, 3);
    }

    [Fact]
    public void A_simulated_scouting_run_ends_with_the_first_flash()
    {
        var truth = new SimulatedRun(new() { Method = Find("iso-2592-2017"), FlashCelsius = 90, FireCelsius = 110, Scouting = true, RowsPerSecond = 10 }).Truth;

        Assert.Single(truth.Applications, made => made.Flashed);
        Assert.Null(truth.ExpectedFlashCelsius);
        Assert.Null(truth.Fire);
    }

    [Fact]
    public void Contradictions_are_named()
    {
        var options = new SimulatorOptions { Method = Find("iso-2592-2017"), FlashCelsius = 90, ExpectedFlashCelsius = 90, Scouting = true };

        Assert.Equal("scouting", Assert.Single(options.Check()).Path);
        Assert.Equal("scouting", Assert.Single((options with { Method = Find("astm-d56-22"), FlashCelsius = 40, ExpectedFlashCelsius = null }).Check()).Path);
    }
}
