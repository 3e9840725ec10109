using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator;

/// <summary>What can be broken beside a simulated cup is what the supervisor then finds.</summary>
public sealed class SimulatedBenchTests
{
    private const RowChannels All = RowChannels.Stirrer | RowChannels.Lit | RowChannels.Air | RowChannels.Ambient;

    private static readonly SimulatorOptions PenskyMartens = new() { Method = Specimens.Method("iso-2719-2016-a"), FlashCelsius = 62, Seed = 3, RowsPerSecond = 25, CoolingSeconds = 30, Bench = new() { Channels = All } };

    private static readonly SimulatedTruth Sound = new SimulatedRun(PenskyMartens).Truth;

    private static RunResult Judge(SimulatorOptions options)
    {
        var run = new SimulatedRun(options);
        return RunReplay.Run(new() { Method = options.Method, ExpectedFlashCelsius = run.Truth.ExpectedFlashCelsius, StationPressureKilopascals = 101.3, HasFlameSignal = true }, run);
    }

    private static RunResult Broken(BenchFaultKind kind, double start, double length, RowChannels told = All) =>
        Judge(PenskyMartens with { Bench = new() { Channels = told, Faults = [new(kind, start, length)] } });

    private static string Story(RunResult result) => $"{result.Verdict}: {string.Join("; ", result.Findings)}";

    [Theory]
    [InlineData(All)]
    [InlineData(RowChannels.Stirring | RowChannels.Lit)]
    public void A_bench_in_order_is_valid_and_gives_the_same_flash_point_as_one_that_tells_nothing(RowChannels told)
    {
        var (result, silent) = (Judge(PenskyMartens with { Bench = new() { Channels = told } }), Judge(PenskyMartens with { Bench = SimulatedBench.Silent }));

        Assert.True(result.Verdict == Verdict.Valid && result.Findings.Count == 0, Story(result));
        Assert.Equal(silent.Flash, result.Flash);
    }

    [Theory]
    [InlineData(BenchFaultKind.StirrerOn, 5, 60, FindingCodes.StirrerOnAtApplication, Verdict.Doubtful)]
    [InlineData(BenchFaultKind.StirrerStands, 5, 40, FindingCodes.StirrerOutsideBand, Verdict.Doubtful)]
    [InlineData(BenchFaultKind.StirrerFast, 5, 40, FindingCodes.StirrerOutsideBand, Verdict.Doubtful)]
    [InlineData(BenchFaultKind.Draught, 5, 40, FindingCodes.Draught, Verdict.Doubtful)]
    [InlineData(BenchFaultKind.FlameOut, 5, 4, FindingCodes.TestFlameOut, Verdict.Doubtful)]
    public void A_fault_in_the_series_is_found(BenchFaultKind kind, int application, double length, string code, Verdict verdict)
    {
        var result = Broken(kind, Sound.Applications[application].TimeSeconds - 1, length);

        Assert.True(result.Findings.Any(finding => finding.Code == code), Story(result));
        Assert.True(result.Verdict == verdict, Story(result));
    }

    [Fact]
    public void A_room_that_warms_is_noted()
    {
        var result = Broken(BenchFaultKind.RoomWarms, 60, 200);

        Assert.Contains(result.Findings, finding => finding is { Code: FindingCodes.AmbientChanged, Weight: FindingWeight.Note });
        Assert.True(result.Verdict == Verdict.Valid, Story(result));
    }

    [Fact]
    public void A_flame_that_is_out_lights_nothing_and_shows_nothing()
    {
        var from = Sound.Applications[3].TimeSeconds - 1;
        var run = new SimulatedRun(PenskyMartens with { FlashCelsius = 62, Bench = new() { Channels = All, Faults = [new(BenchFaultKind.FlameOut, from, Sound.Flash!.TimeSeconds + 60 - from)] } });

        // Nothing flashes until it burns again, and then the first application does.
        Assert.True(run.Truth.Flash!.TimeSeconds > Sound.Flash.TimeSeconds + 60);
        Assert.All(run.Truth.Applications.Where(made => made.TimeSeconds > from && made.TimeSeconds < from + 60), made => Assert.Equal((0.0, false), (made.Halo, made.Flashed)));
        var result = Judge(run.Options);
        Assert.True(result.Verdict == Verdict.Invalid, Story(result));
        Assert.Contains(result.Findings, finding => finding is { Code: FindingCodes.ApplicationMissed, Weight: FindingWeight.Invalid });
    }

    [Fact]
    public void A_run_with_a_fault_that_is_not_told_is_no_worse_for_it_but_for_the_flame()
    {
        var result = Broken(BenchFaultKind.Draught, Sound.Applications[5].TimeSeconds - 1, 40, RowChannels.None);

        Assert.True(result.Verdict == Verdict.Valid, Story(result));
    }

    [Theory]
    [InlineData(RowChannels.Stirrer | RowChannels.Stirring, "bench.channels")]
    [InlineData(RowChannels.Temperature, "bench.channels")]
    public void What_a_bench_cannot_tell_is_refused(RowChannels told, string path) =>
        Assert.Equal(path, Assert.Single((PenskyMartens with { Bench = new() { Channels = told } }).Check()).Path);

    [Theory]
    [InlineData(-1, 10)]
    [InlineData(10, 0)]
    [InlineData(90_000, 10)]
    public void A_fault_out_of_all_time_is_refused(double start, double length) =>
        Assert.Equal("bench.faults[0]", Assert.Single((PenskyMartens with { Bench = new() { Faults = [new(BenchFaultKind.Draught, start, length)] } }).Check()).Path);

    [Theory]
    [InlineData("draught:600:90", true)]
    [InlineData("stirrer-on:0.5:1.25", true)]
    [InlineData("draught:600", false)]
    [InlineData("storm:600:90", false)]
    [InlineData("draught:1e3:90", false)]
    [InlineData("draught:-1:90", false)]
    [InlineData(null, false)]
    public void A_fault_is_read_from_its_words(string? text, bool read)
    {
        Assert.Equal(read, BenchFault.TryParse(text, "--bench-fault", out var fault, out var error));
        Assert.Equal(read, fault is not null && text!.StartsWith(fault.Word, StringComparison.Ordinal));
        Assert.NotEqual(read, error is not null);
    }
}
