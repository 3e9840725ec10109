using Acquire.Core.Readings;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator;

/// <summary>What each kind of detector sees of one and the same run.</summary>
public sealed class DetectorKindTests
{
    // Without a fire, and flashes as faint as a pass: what is seen then is pass and halo.
    private static readonly SimulatorOptions Run = (Specimens.BaseOil(3) with { FireCelsius = null, CoolingSeconds = 10 }).InSigma();

    private static SimulatorOptions Quiet(SimulatorOptions options) => options with
    {
        Scene = options.Scene with
        {
            Thermal = DetectorView.Thermal with { Baseline = 0, UnitsPerSigma = 1, StepUnits = 1e-4, WhiteShare = 1 },
            Ionisation = DetectorView.Ionisation with { Baseline = 0, UnitsPerSigma = 1, StepUnits = 1e-4, WhiteShare = 1 },
        },
    };

    private static double[] Peaks(SimulatedRun run, Func<ReadingRow, double> detector, bool flashed)
    {
        var rows = run.ToArray();
        return [.. run.Truth.Applications.Where(made => made.Flashed == flashed && (flashed || made.Halo is > 0.5)).Select(made =>
            rows.Where(row => row.AtSeconds >= made.TimeSeconds && row.AtSeconds <= made.TimeSeconds + made.DurationSeconds).Max(detector))];
    }

    [Fact]
    public void One_plain_detector_is_what_it_has_always_been()
    {
        var usual = new SimulatedRun(Specimens.BaseOil(3)).Take(60_000);

        Assert.Equal(usual, new SimulatedRun(Specimens.BaseOil(3) with { Detector = DetectorKind.Plain, TwoDetectors = false, Disturbances = [] }).Take(60_000));
        Assert.All(usual, row => Assert.False(row.Has(RowChannels.SecondDetector)));
    }

    [Fact]
    public void With_two_the_first_is_the_electrode_and_the_second_the_thermal_one()
    {
        var two = new SimulatedRun(Run with { TwoDetectors = true }).ToArray();
        var electrode = new SimulatedRun(Run with { Detector = DetectorKind.Ionisation }).ToArray();

        Assert.All(two, row => Assert.True(row.Has(RowChannels.SecondDetector | RowChannels.Detector)));
        Assert.Equal(electrode.Select(row => row.Detector), two.Select(row => row.Detector));
        Assert.Equal(DetectorView.Thermal.Baseline, two.Take(200).Average(row => row.SecondDetector), 0.1 * DetectorView.Thermal.Baseline);
    }

    [Fact]
    public void The_electrode_hardly_sees_a_halo_that_the_thermal_detector_sees_whole()
    {
        var run = new SimulatedRun(Quiet(Run) with { TwoDetectors = true });
        var halo = run.Truth.Applications.Where(made => !made.Flashed && made.Halo > 0.5).Average(made => made.Halo) * Run.Scene.HaloSigma;

        // A pass of 6 sigma and 3 to 12 % of the halo; 10 sigma and all of it. Three for the noise at the highest of some fifty readings.
        Assert.InRange(Peaks(run, row => row.Detector, flashed: false).Average(), 6, 6 + (0.12 * halo) + 3);
        Assert.InRange(Peaks(run, row => row.SecondDetector, flashed: false).Average(), 10 + (0.6 * halo), 10 + halo + 3);
    }

    [Fact]
    public void Both_see_a_flash_and_the_thermal_detector_sees_it_later_and_lower()
    {
        var run = new SimulatedRun(Quiet(Run) with { TwoDetectors = true, Scene = Quiet(Run).Scene with { FlashSigma = 200, FlashTailSeconds = 0 } });
        var onset = run.Truth.Flash!.TimeSeconds;
        var rows = run.Where(row => row.AtSeconds >= onset - 0.1 && row.AtSeconds <= onset + 0.5).ToArray();

        double Rise(Func<ReadingRow, double> detector) => rows.First(row => detector(row) > 100).AtSeconds - onset;
        Assert.InRange(Rise(row => row.Detector), 0, 0.04);
        Assert.InRange(Rise(row => row.SecondDetector), 0.03, 0.08);

        // A pulse of 100 ms behind a lag of 50 ms reaches 1 - exp(-2) = 86 %, less the rise; pass and halo come on top.
        Assert.InRange(rows.Max(row => row.SecondDetector), 155, 172 + 10 + Run.Scene.HaloSigma + 12);
        Assert.True(rows.Max(row => row.SecondDetector) - 10 - (0.9 * Run.Scene.HaloSigma) < rows.Max(row => row.Detector));
    }

    [Fact]
    public void Two_detectors_change_nothing_of_what_happens()
    {
        var one = new SimulatedRun(Specimens.BaseOil(9)).Truth;
        var two = new SimulatedRun(Specimens.BaseOil(9) with { TwoDetectors = true }).Truth;

        Assert.Equal(one.Applications, two.Applications);
        Assert.Equal(one.Flash, two.Flash);
        Assert.Equal(one.Fire, two.Fire);
    }

    [Fact]
    public void What_cannot_be_is_refused()
    {
        Assert.Contains((Run with { TwoDetectors = true, Detector = DetectorKind.Thermal }).Check(), error => error.Path == "detector");
        Assert.Contains((Run with { TwoDetectors = true, HasFlameSignal = false, Analyst = new() }).Check(), error => error.Path == "twoDetectors");
        Assert.Contains((Run with { Scene = Run.Scene with { Thermal = DetectorView.Thermal with { LagSeconds = 2 } } }).Check(), error => error.Path == "scene.thermal.lagSeconds" && error.Message == "2 is not within 0 to 1");
        Assert.Contains((Run with { Detector = (DetectorKind)9 }).Check(), error => error.Path == "detector");
    }
}
