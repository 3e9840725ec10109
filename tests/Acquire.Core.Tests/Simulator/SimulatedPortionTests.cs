using Acquire.Core.Methods;
using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator;

public sealed class SimulatedPortionTests
{
    private static MethodDefinition Find(string id) => MethodCatalog.TryFind(id, out var method) ? method : throw new InvalidOperationException(id);

    private static readonly SimulatorOptions Usual = new() { Method = Find("iso-3679-2022-b"), FlashCelsius = 62.3, ExpectedFlashCelsius = 64, RowsPerSecond = 20, Seed = 11 };

    private static RunResult Judge(SimulatorOptions options, Func<ReadingRow, SimulatedRun, ReadingRow>? change = null)
    {
        var run = new SimulatedRun(options);
        var plan = options.Aim.Plan(options.Method) with { StationPressureKilopascals = options.StationPressureKilopascals, HasFlameSignal = true };
        return RunReplay.Run(plan, run.Select(row => change?.Invoke(row, run) ?? row), run.Entries);
    }

    [Theory]
    [InlineData(62.3, 64.0, false, 101.3, 1)]
    [InlineData(23.4, 31.0, true, 98.6, 2)]
    [InlineData(-17.8, -12.0, false, 100.2, 3)]
    [InlineData(148.6, 140.0, true, 101.3, 4)]
    [InlineData(254.2, 258.0, false, 104.0, 5)]
    public void A_flash_point_is_found_by_flame_and_detector_where_the_specimen_has_it(double flash, double expected, bool fine, double kilopascals, ulong seed)
    {
        var result = Judge(Usual with { FlashCelsius = flash, ExpectedFlashCelsius = expected, FineStep = fine, StationPressureKilopascals = kilopascals, Seed = seed });

        Assert.True(result.Verdict == Verdict.Valid, string.Join("; ", result.Findings));

        // Somewhere between the truth and a step above it; the simulated specimen is uncertain by some tenths, the report by half its step.
        Assert.InRange(result.Flash!.ReportedCelsius!.Value - flash, -0.6, (fine ? 0.5 : 1) + 0.6);
    }

    [Fact]
    public void The_program_asks_for_the_temperatures_that_the_text_of_the_method_asks_for()
    {
        var run = new SimulatedRun(Usual with { ExpectedFlashCelsius = 75 });
        var result = Judge(Usual with { ExpectedFlashCelsius = 75 });

        Assert.Equal(run.Truth.Applications.Select(made => Math.Round(made.TemperatureCelsius)), result.Equilibrium!.Tests.Select(test => test.SetCelsius));
        Assert.Equal(run.Truth.Applications.Select(made => made.Flashed), result.Equilibrium.Tests.Select(test => test.Flashed));
        Assert.All(result.Equilibrium.Tests, test => Assert.True(test.Counts));
    }

    [Theory]
    [InlineData(58.9, true)]
    [InlineData(61.4, false)]
    public void Flash_or_no_flash_at_a_specification_is_answered(double flash, bool flashed)
    {
        var options = Usual with { Method = Find("iso-3679-2022-a"), ExpectedFlashCelsius = null, SpecificationCelsius = 60, FlashCelsius = flash, StationPressureKilopascals = 98.6 };

        var result = Judge(options);

        Assert.True(result.Verdict == Verdict.Valid, string.Join("; ", result.Findings));
        Assert.Equal(flashed, result.Equilibrium!.Flashed);
    }

    [Theory]
    [InlineData(3.6, true)]
    [InlineData(2.6, false)]
    public void A_shutter_that_stays_open_too_long_is_found(double seconds, bool found)
    {
        // ASTM D3828, clause 11: opened and closed over 2.5 s.
        var result = Judge(Usual, (row, run) => row with { FlameOver = run.Truth.Applications.Any(made => row.AtSeconds >= made.TimeSeconds && row.AtSeconds < made.TimeSeconds + seconds) });

        Assert.Equal(found, result.Findings.Any(finding => finding.Code == FindingCodes.ApplicationTooLong));
    }

    [Fact]
    public void A_dead_detector_could_not_have_seen_a_flash()
    {
        var result = Judge(Usual, (row, _) => row with { Detector = 7 });

        Assert.Contains(result.Findings, finding => finding.Code == FindingCodes.DetectorDead && finding.Weight == FindingWeight.Invalid);
    }

    [Fact]
    public void Without_the_portions_no_application_counts()
    {
        var run = new SimulatedRun(Usual);
        var result = RunReplay.Run(Usual.Aim.Plan(Usual.Method) with { HasFlameSignal = true }, run);

        Assert.Contains(result.Findings, finding => finding.Code == FindingCodes.NoAnswer);
        Assert.Contains(result.Findings, finding => finding.Code == FindingCodes.ApplicationWithoutPortion);
    }

    [Fact]
    public void A_resting_block_is_no_stuck_thermometer()
    {
        var result = Judge(Usual with { Thermometer = new() { NoiseCelsius = 0, StepCelsius = 0.1 } });

        Assert.True(result.Verdict == Verdict.Valid, string.Join("; ", result.Findings));
        Assert.DoesNotContain(result.Findings, finding => finding.Code == FindingCodes.ThermometerStuck);
    }
}
