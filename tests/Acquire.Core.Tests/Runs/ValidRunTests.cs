using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Runs;

public sealed class ValidRunTests
{
    public static TheoryData<string, string, string> Shapes()
    {
        var shapes = new TheoryData<string, string, string>();
        foreach (var pass in new[] { PulseShape.Gaussian, PulseShape.HalfSine, PulseShape.Rectangular })
        {
            foreach (var halo in new[] { PulseShape.Gaussian, PulseShape.HalfSine })
            {
                foreach (var flash in Enum.GetValues<PulseShape>())
                {
                    shapes.Add(pass.ToString(), halo.ToString(), flash.ToString());
                }
            }
        }

        return shapes;
    }

    [Theory]
    [MemberData(nameof(Shapes))]
    public void A_clean_run_of_any_shape_is_valid_and_right(string pass, string halo, string flash)
    {
        var run = new BenchTrace { PassShape = Enum.Parse<PulseShape>(pass), HaloShape = Enum.Parse<PulseShape>(halo), FlashShape = Enum.Parse<PulseShape>(flash), Seed = 11 + pass.Length + (3 * flash.Length) }.Make();

        run.Judge().AssertTrue(run);
    }

    [Theory]
    [InlineData(10, false)]
    [InlineData(10, true)]
    [InlineData(25, true)]
    [InlineData(100, true)]
    [InlineData(500, false)]
    [InlineData(500, true)]
    public void Any_rate_and_spacing_of_readings_will_do(double perSecond, bool uneven)
    {
        // Ten readings a second see a flash of 0.15 s twice at best.
        var run = new BenchTrace { PerSecond = perSecond, Uneven = uneven, FlashWidth = 0.15, Seed = 21 }.Make();

        run.Judge().AssertTrue(run);
    }

    [Theory]
    [InlineData(1e-4, -3e-3)]
    [InlineData(1e-2, 5)]
    [InlineData(1, -1e4)]
    [InlineData(1e4, 1e4)]
    public void Any_unit_and_offset_of_the_detector_will_do(double unit, double offset)
    {
        var run = new BenchTrace { Unit = unit, Offset = offset, Seed = 31 }.Make();

        run.Judge().AssertTrue(run);
    }

    [Theory]
    [InlineData(0.2)]
    [InlineData(0.7)]
    [InlineData(1.0)]
    public void Quiet_and_noisy_detectors_will_do(double noise)
    {
        for (var seed = 41; seed < 44; seed++)
        {
            var run = new BenchTrace { Noise = noise, Seed = seed }.Make();

            run.Judge().AssertTrue(run);
        }
    }

    [Theory]
    [InlineData(nameof(PulseShape.Gaussian), 50)]
    [InlineData(nameof(PulseShape.HalfSine), 50)]
    [InlineData(nameof(PulseShape.Rectangular), 50)]
    [InlineData(nameof(PulseShape.Gaussian), 200)]
    public void A_tester_without_a_flame_signal_will_do(string pass, double perSecond)
    {
        var run = new BenchTrace { HasFlame = false, PassShape = Enum.Parse<PulseShape>(pass), PerSecond = perSecond, PassHeight = 12, Seed = 51 }.Make();

        run.Judge().AssertTrue(run);
    }

    [Fact]
    public void Short_burns_before_the_fire_are_no_fire()
    {
        var run = new BenchTrace { ShortBurns = [2, 3.4, 4.6], Seed = 61 }.Make();

        var judged = run.Judge();

        judged.AssertTrue(run);
        var ended = judged.Outputs.OfType<BurnEnded>().ToArray();
        Assert.True(ended.Length == 3, judged.Story);
        Assert.Equal(2, ended[0].DurationSeconds, tolerance: 0.4);
        Assert.Equal(4.6, ended[2].DurationSeconds, tolerance: 0.39);
    }

    [Fact]
    public void A_run_by_the_other_edition_is_valid_too()
    {
        Assert.True(Core.Methods.MethodCatalog.TryFind("astm-d92-18", out var astm));
        var run = new BenchTrace { Method = astm, Seed = 71 }.Make();

        run.Judge().AssertTrue(run);
    }

    [Fact]
    public void The_result_is_corrected_and_rounded_by_the_method()
    {
        var run = new BenchTrace { Kilopascals = 99.3, Seed = 81 }.Make();

        var result = run.Judge().Result;

        // ISO 2592: 0.25 °C/kPa from 101.3 kPa: 2.0 kPa below are 0.5 °C; reported to the nearest 1 °C.
        Assert.Equal(99.3, result.StationKilopascals);
        foreach (var point in new[] { result.Flash!, result.Fire! })
        {
            Assert.Equal(point.ObservedCelsius + 0.5, point.CorrectedCelsius, 9);
            Assert.Equal(Math.Round(point.CorrectedCelsius), point.ReportedCelsius);
        }
    }

    [Fact]
    public void Every_application_is_told_twice_and_ends_in_the_result()
    {
        var run = new BenchTrace { Seed = 91 }.Make();

        var judged = run.Judge();

        Assert.Equal(run.Passes.Count, judged.Result.Applications.Count);
        Assert.Equal(Enumerable.Range(1, run.Passes.Count), judged.Outputs.OfType<ApplicationStarted>().Select(started => started.Number));
        Assert.Equal(judged.Result.Applications, judged.Outputs.OfType<ApplicationJudged>().Select(output => output.Application));
        Assert.All(judged.Result.Applications.Zip(run.Passes), pair =>
        {
            Assert.Equal(pair.Second.Start, pair.First.TimeSeconds, tolerance: 0.03);
            Assert.Equal(pair.Second.Celsius, pair.First.TemperatureCelsius, tolerance: 0.2);
            Assert.Equal(pair.Second.Seconds, pair.First.DurationSeconds!.Value, tolerance: 0.05);
            Assert.Equal(ApplicationEvidence.FlameSignal, pair.First.Evidence);
        });
    }

    [Theory]
    [InlineData("iso-2592-2017", 190, true)]
    [InlineData("bench-open-cup", 190, false)]
    [InlineData("astm-d1310-14", 60, true)]
    public void A_run_whose_heater_is_turned_off_after_the_flash_is_valid_without_a_fire_point(string methodId, double flashCelsius, bool flameSignal)
    {
        // Whoever wants the flash point alone stops there: what heating and applications do afterwards concerns no figure.
        Assert.True(Core.Methods.MethodCatalog.TryFind(methodId, out var method));
        var run = new SimulatedRun(new() { Method = method, FlashCelsius = flashCelsius, RowsPerSecond = 20, HasFlameSignal = flameSignal, Seed = 3 });
        var plan = new RunPlan { Method = method, ExpectedFlashCelsius = flashCelsius, StationPressureKilopascals = 101.3, HasFlameSignal = flameSignal };

        var result = RunReplay.Run(plan, run);

        Assert.True(result.Verdict == Verdict.Valid, string.Join("; ", result.Reasons.Select(reason => reason.Text)));
        Assert.Equal(run.Truth.Flash!.TemperatureCelsius, result.Flash!.ObservedCelsius, tolerance: 0.1);
        Assert.Null(result.Fire);
    }
}
