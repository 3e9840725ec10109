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

    private static readonly SimulatorOptions Asked = Usual with { Method = Find("iso-3679-2022-a"), ExpectedFlashCelsius = null, SpecificationCelsius = 60 };

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
    [InlineData(58.2, 901, FindingCodes.FlashUncertain)]
    [InlineData(58.9, 902, FindingCodes.FlashUncertain)]
    [InlineData(58.6, 903, FindingCodes.FlashUncertain)]
    [InlineData(62.0, 904, null)]
    [InlineData(61.4, 905, null)]
    public void A_faint_flash_in_a_poor_detector_is_never_a_valid_no_flash(double flash, ulong seed, string? code)
    {
        var result = Judge(Asked with { FlashCelsius = flash, Seed = seed, RowsPerSecond = 50, Scene = DetectorScene.Hard });

        Assert.True(code is null ? result is { Verdict: Verdict.Valid, Equilibrium.Flashed: false } : result.Verdict != Verdict.Valid && result.Equilibrium!.Flashed is null, string.Join("; ", result.Findings));
        Assert.Equal(code, Assert.Single(result.Equilibrium!.Tests).Spoiled);
        Assert.Equal(code is null ? [] : [FindingWeight.Doubtful], result.Findings.Where(finding => finding.Code == FindingCodes.FlashUncertain).Select(finding => finding.Weight));
    }

    // A pass that the detector does not show, one whose readings are lost, and one that it shows.
    [Theory]
    [InlineData(0, 0, true)]
    [InlineData(8, 0.5, true)]
    [InlineData(8, 0.1, false)]
    public void A_detector_that_could_not_have_shown_a_flash_gives_no_answer(double passSigma, double lostSeconds, bool found)
    {
        var options = Asked with { FlashCelsius = 85, RowsPerSecond = 20, Scene = DetectorScene.Clear with { PassSigma = passSigma, HaloSigma = passSigma } };

        var result = Judge(options, (row, run) => run.Truth.Applications.Any(made => row.AtSeconds > made.TimeSeconds + 0.8 && row.AtSeconds < made.TimeSeconds + 0.8 + lostSeconds) ? row with { Present = row.Present & ~RowChannels.Detector } : row);

        Assert.Equal(found ? FindingCodes.FlashNotTellable : null, Assert.Single(result.Equilibrium!.Tests).Spoiled);
        Assert.Equal(found ? Verdict.Invalid : Verdict.Valid, result.Verdict);
        Assert.Equal(found ? null : false, result.Equilibrium.Flashed);
    }

    [Fact]
    public void In_a_search_such_tests_stand_and_leave_a_question_open()
    {
        var result = Judge(Usual with { Scene = DetectorScene.Clear with { PassSigma = 0, HaloSigma = 0 } });

        Assert.Equal(Verdict.Doubtful, result.Verdict);
        Assert.InRange(result.Flash!.ReportedCelsius!.Value - 62.3, -0.6, 1.6);
        Assert.Contains(result.Findings, finding => finding is { Code: FindingCodes.FlashNotTellable, Weight: FindingWeight.Doubtful });
    }

    [Theory]
    [InlineData(1.5, true)]
    [InlineData(0.15, false)]
    public void An_ignition_while_the_first_portion_waits_is_found_by_the_noise_alone(double seconds, bool found)
    {
        var result = Judge(Asked with { FlashCelsius = 64 }, (row, run) => run.Truth.Applications[0].TimeSeconds - 30 is var at && row.AtSeconds >= at && row.AtSeconds < at + seconds ? row with { Detector = row.Detector + 250 } : row);

        Assert.Equal(found ? [FindingWeight.Doubtful] : [], result.Findings.Where(finding => finding.Code == FindingCodes.IgnitionWithoutFlame).Select(finding => finding.Weight));
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

    [Theory]
    [InlineData("iso-3679-2022-a", 62.3)]
    [InlineData("iso-3679-2022-a", 57.1)]
    [InlineData("iso-3679-2022-b", 62.3)]
    [InlineData("iso-3679-2022-b", 64.8)]
    public void A_person_who_works_the_cup_by_hand_comes_to_the_answer_of_the_truth(string id, double flash)
    {
        for (ulong seed = 1; seed <= 5; seed++)
        {
            var options = (id.EndsWith('a') ? Asked : Usual) with { FlashCelsius = flash, Seed = seed, HasFlameSignal = false, Analyst = new() };
            Assert.Empty(options.Check());
            var run = new SimulatedRun(options);
            var plan = options.Aim.Plan(options.Method) with { StationPressureKilopascals = options.StationPressureKilopascals, Mode = RunMode.Guided, HasFlameSignal = false };

            var result = RunReplay.Run(plan, run, run.Entries);

            Assert.DoesNotContain(run, row => row.Has(RowChannels.Detector));
            Assert.True(result.Verdict == Verdict.Valid, $"seed {seed}: {string.Join("; ", result.Findings)}");
            Assert.Equal(run.Truth.Applications.Select(made => made.Flashed), result.Equilibrium!.Tests.Select(test => test.Outcome == PortionOutcome.Flash));
            Assert.True(id.EndsWith('a') || Math.Abs(result.Flash!.ReportedCelsius!.Value - flash) <= 1.6);
        }
    }
}
