using System.Globalization;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator.Physics;

/// <summary>Whole simulated runs with specimens of known liquids.</summary>
public sealed class SpecimenRunTests
{
    private static SimulatorOptions Options(string method, string words, double kilopascals = 101.3) =>
        Specimen.TryParse(words, "specimen", out var specimen, out var error)
            ? (new SimulatorOptions { Method = Specimens.Method(method), FlashCelsius = 0, StationPressureKilopascals = kilopascals, RowsPerSecond = 20, Seed = 3 }).WithSpecimen(specimen)
            : throw new ArgumentException(error.Message);

    [Theory]
    [InlineData("iso-2719-2016-a", "n-decane", 101.3)]
    [InlineData("iso-2719-2016-a", "n-tetradecane", 96.0)]
    [InlineData("iso-2719-2016-b", "n-undecane:0.5,n-hexadecane:0.5", 101.3)]
    [InlineData("astm-d93-20-a", "n-dodecane", 101.3)]
    [InlineData("iso-13736-2021", "ethanol:0.5,n-octane:0.5", 101.3)]
    [InlineData("iso-13736-2021", "ethanol:0.3,water:0.7", 99.0)]
    [InlineData("astm-d56-22", "n-nonane", 101.3)]
    [InlineData("astm-d56-22", "n-dodecane", 101.3)]
    [InlineData("astm-d1310-14", "o-xylene", 101.3)]
    [InlineData("iso-2592-2017", "n-hexadecane", 101.3)]
    [InlineData("iso-2592-2017", "n-tetradecane", 94.0)]
    [InlineData("bench-open-cup", "n-decane", 101.3)]
    public void A_run_finds_the_flash_point_that_follows_for_its_specimen(string method, string words, double kilopascals)
    {
        var options = Options(method, words, kilopascals);
        Assert.Empty(options.Check());
        var run = new SimulatedRun(options);
        var plan = new RunPlan { Method = options.Method, ExpectedFlashCelsius = options.Expected, StationPressureKilopascals = kilopascals, HasFlameSignal = true };

        var result = RunReplay.Run(plan, run);

        var story = string.Create(CultureInfo.InvariantCulture, $"{method}, {words}: {result.Verdict}, observed {result.Flash?.ObservedCelsius:F2} °C, computed {run.Truth.FlashAtStationCelsius:F2} °C; {string.Join("; ", result.Findings)}");
        Assert.True(result.Verdict == Verdict.Valid, story);
        // The first application at or above the flash point shows it, or by chance the one after.
        Assert.True(result.Flash!.ObservedCelsius - run.Truth.FlashAtStationCelsius is > -1 and var over && over < plan.Rules.Applications.IntervalCelsius + 0.8, story);
        Assert.Equal(words, run.Options.Specimen!.Words);
        Assert.Equal(run.Truth.Specimen!.FlashCelsius > run.Truth.Specimen.FlashAtStationCelsius, kilopascals < 101);
        Assert.InRange(run.Truth.Specimen.FlashCelsius - run.Truth.FlashCelsius, -0.5, 2);
    }

    [Fact]
    public void An_open_cup_has_a_fire_point_at_the_ratio_assumed_and_a_closed_one_has_none()
    {
        var open = new SimulatedRun(Options("iso-2592-2017", "n-hexadecane")).Truth;
        var closed = new SimulatedRun(Options("iso-2719-2016-a", "n-hexadecane")).Truth;

        Assert.Equal(1.5, open.Specimen!.FireRatioAssumed);
        Assert.InRange(open.FireCelsius!.Value - open.FlashCelsius, 5, 15);
        Assert.InRange(open.Fire!.TemperatureCelsius - open.FireAtStationCelsius!.Value, -1, 3.5);
        Assert.Equal((null, null, null), (closed.Specimen!.FireRatioAssumed, closed.FireCelsius, closed.Fire));
    }

    [Fact]
    public void Fresh_portions_of_a_specimen_flash_where_its_vapour_says_at_the_station()
    {
        var run = new SimulatedRun(Options("iso-3679-2022-b", "n-undecane", 90));
        var flash = Specimen.Pure(VapourPressureTests.Find("n-undecane")).ClosedFlashCelsius(90);

        Assert.Equal(flash, run.Truth.FlashAtStationCelsius, 1e-4);
        Assert.All(run.Truth.Applications, made => Assert.True(made.Flashed ? made.TemperatureCelsius > flash - 0.5 : made.TemperatureCelsius < flash + 0.5));
    }

    [Fact]
    public void The_light_end_leaves_an_open_cup_and_the_flash_point_of_what_is_left_is_higher()
    {
        var options = Options("iso-2592-2017", "n-nonane:0.02,n-hexadecane:0.98");
        var (quick, slow) = (new SimulatedRun(options).Truth, new SimulatedRun(options with { ControlledRateCelsiusPerMinute = 0.5 }).Truth);

        double Left(SimulatedTruth truth) => truth.Specimen!.Parts[0].MoleFractionAtEnd;
        Assert.Equal(0.02, quick.Specimen!.Parts[0].MoleFraction);
        Assert.True(Left(quick) < 0.0198 && Left(slow) < Left(quick) - 0.001, string.Create(CultureInfo.InvariantCulture, $"{Left(quick)} and {Left(slow)}"));
        // The fresh specimen's flash point is the same; what was heated for long flashes later.
        Assert.Equal(quick.FlashAtStationCelsius, quick.FlashCelsius, 1e-3);
        Assert.True(slow.Flash!.TemperatureCelsius > quick.Flash!.TemperatureCelsius);
    }

    [Fact]
    public void A_lid_keeps_the_light_end()
    {
        var truth = new SimulatedRun(Options("iso-2719-2016-a", "n-nonane:0.02,n-hexadecane:0.98")).Truth;

        Assert.Equal(0.02, truth.Specimen!.Parts[0].MoleFractionAtEnd);
    }

    [Fact]
    public void The_truth_says_what_was_in_the_cup_and_can_be_read_back()
    {
        var truth = new SimulatedRun(Options("iso-2719-2016-a", "n-dodecane:0.9,n-octane:0.1", 95)).Truth;

        var again = TraceWriter.ParseTruth(TraceWriter.TruthJson(truth));

        Assert.Equal(truth.Options.Specimen, again.Options.Specimen);
        Assert.Equal(["n-dodecane", "n-octane"], again.Specimen!.Parts.Select(part => part.Name));
        Assert.Equal(truth.Specimen!.FlashAtStationCelsius, again.Specimen.FlashAtStationCelsius);
        Assert.DoesNotContain("specimen", TraceWriter.TruthJson(new SimulatedRun(Specimens.BaseOil() with { RowsPerSecond = 10 }).Truth), StringComparison.Ordinal);
    }

    [Fact]
    public void A_driven_tester_takes_a_specimen_too()
    {
        var run = DrivenRun.Play(DrivenRunOptions.For(DrivenOptions.For(Options("iso-2719-2016-b", "n-undecane"))));

        Assert.NotNull(run.Truth.Specimen);
        Assert.InRange(run.Truth.Flash!.TemperatureCelsius - run.Truth.FlashAtStationCelsius, -1, 2);
    }
}
