using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using Acquire.Core.Thermometry;
using Xunit;

namespace Acquire.Core.Tests.Results;

public sealed class FlashPointBudgetTests
{
    private static readonly LaboratoryRepeatability Own = new(1.5, 10);

    [Fact]
    public void The_worked_example_comes_out_of_one_run()
    {
        // docs/uncertainty.md: 226 °C observed at 97.3 kPa, invented figures; combined 0.8136 °C.
        var made = Make(ClosedRuns.Figures);

        Assert.Equal(0.8136, made.Budget.CombinedCelsius, 0.00005);
        Assert.Equal(
            ["thermometer calibration", "thermometer drift", "thermometer resolution", "thermometer lag", "application interval", "ramp rate", "rounding", "barometer", "pressure coefficient"],
            made.Budget.Lines.Select(line => line.Contribution.Name));
        Assert.All(made.Budget.Lines, line => Assert.EndsWith(".", line.Contribution.Source, StringComparison.Ordinal));
        var missing = Assert.Single(made.LeftOut);
        Assert.Equal(("repeatability", LeftOutReason.NotStated), (missing.Name, missing.Reason));
        // 1.96 × 0.8136 = 1.595, two digits, upwards.
        Assert.Equal("The flash point is 227 °C with an expanded uncertainty of 1.6 °C (coverage factor 1.96 for 95 %, degrees of freedom not limited). Not included, because not stated: repeatability.", made.Statement);
    }

    [Fact]
    public void The_laboratorys_own_scatter_replaces_interval_resolution_and_rounding()
    {
        var made = Make(ClosedRuns.Figures with { Repeatability = Own });

        Assert.Equal(1.579, made.Budget.CombinedCelsius, 0.0005);
        Assert.Equal(3.16, made.Budget.Expanded(2), 0.005);
        Assert.Equal(11.1, made.Budget.EffectiveDegreesOfFreedom!.Value, 0.05);
        Assert.Equal(["thermometer resolution", "application interval", "rounding"], made.LeftOut.Select(one => one.Name));
        Assert.All(made.LeftOut, one => Assert.Equal(LeftOutReason.AlreadyCounted, one.Reason));
        Assert.Contains("0.577 °C", made.LeftOut[1].Text, StringComparison.Ordinal);
        // 2.201 × 1.579 = 3.475.
        Assert.Equal("The flash point is 227 °C with an expanded uncertainty of 3.5 °C (coverage factor 2.20 for 95 %, 11 effective degrees of freedom).", made.Statement);
    }

    [Fact]
    public void The_methods_repeatability_stands_in_on_request()
    {
        // r = 8 °C (ISO 2592:2017); 8/2.77 = 2.888.
        var made = Make(ClosedRuns.Figures with { TakeMethodRepeatability = true });

        var scatter = made.Budget.Lines.Single(line => line.Contribution.Name == "repeatability").Contribution;
        Assert.Equal(2.888, scatter.StandardCelsius, 0.0005);
        Assert.Equal(30, scatter.DegreesOfFreedom);
        Assert.Contains("not this laboratory's own", scatter.Source, StringComparison.Ordinal);
        Assert.Equal(3, made.LeftOut.Count);
        Assert.InRange(made.Budget.ExpandedCelsius, 5.7, 6.2);
    }

    [Fact]
    public void What_nobody_stated_is_listed_and_not_zero()
    {
        var plan = ClosedRuns.Plan with { Thermometer = ThermometerChain.Plain, StationPressureKilopascals = null };
        var made = Make(LaboratoryFigures.None, plan);

        Assert.Equal(["application interval", "rounding"], made.Budget.Lines.Select(line => line.Contribution.Name));
        Assert.Equal(
            ["thermometer calibration", "thermometer drift", "thermometer resolution", "thermometer lag", "ramp rate", "barometer", "pressure coefficient", "repeatability"],
            made.LeftOut.Select(one => one.Name));
        Assert.All(made.LeftOut, one => Assert.Equal(LeftOutReason.NotStated, one.Reason));
        Assert.Contains("Nobody read the barometer", made.LeftOut.Single(one => one.Name == "barometer").Text, StringComparison.Ordinal);
        Assert.EndsWith("Not included, because not stated: thermometer calibration, thermometer drift, thermometer resolution, thermometer lag, ramp rate, barometer, pressure coefficient, repeatability.", made.Statement, StringComparison.Ordinal);
    }

    [Fact]
    public void A_barometer_without_a_limit_is_missing_too()
    {
        var made = Make(ClosedRuns.Figures with { BarometerLimitKilopascals = null, CoefficientLimitCelsiusPerKilopascal = null });

        Assert.Equal(["barometer", "pressure coefficient", "repeatability"], made.LeftOut.Select(one => one.Name));
    }

    [Fact]
    public void The_mean_offset_of_the_interval_is_stated_and_not_corrected()
    {
        var made = Make(ClosedRuns.Figures);

        Assert.Contains(made.Remarks, remark => remark.Contains("on the mean 1.0 °C high", StringComparison.Ordinal) && remark.Contains("nothing is subtracted", StringComparison.Ordinal));
        Assert.Equal(227, made.Point.ReportedCelsius);
        // R = 18 °C, ISO 2592:2017.
        Assert.Contains(made.Remarks, remark => remark.Contains("reproducibility, 18 °C", StringComparison.Ordinal));
    }

    [Fact]
    public void The_interval_is_the_rise_since_the_application_before()
    {
        // The fire at 252.0 °C came 1.5 °C after the pass at 250.5 °C: ±0.75 °C, 0.433 °C.
        var made = Make(ClosedRuns.Figures, kind: PointKind.Fire);

        Assert.Equal(0.433, Line(made, "application interval").StandardCelsius, 0.0005);
        Assert.StartsWith("The fire point is 253 °C", made.Statement, StringComparison.Ordinal);
        // R = 14 °C for the fire point, ISO 2592:2017.
        Assert.Contains(made.Remarks, remark => remark.Contains("reproducibility, 14 °C", StringComparison.Ordinal));
    }

    [Fact]
    public void Without_an_application_before_the_interval_is_the_methods()
    {
        var made = Make(ClosedRuns.Figures, result: ClosedRuns.Valid with { Applications = [] });

        Assert.Equal(1 / Math.Sqrt(3), Line(made, "application interval").StandardCelsius, 9);
        Assert.Contains("the method's interval", Line(made, "application interval").Source, StringComparison.Ordinal);
    }

    [Fact]
    public void The_certificate_is_asked_at_the_reading_and_not_at_the_corrected_temperature()
    {
        // Corrected 150 °C belongs to the reading 140 °C, where the certificate has U = 1 °C; at 150 °C it has 2 °C.
        var certificate = ClosedRuns.Certificate with { CoverageFactor = 2, Points = [new(140, 10, 1), new(150, 10, 2), new(260, 10, 2)] };
        var plan = ClosedRuns.Plan with { Thermometer = ThermometerChain.Plain with { Calibration = certificate } };

        var made = Make(ClosedRuns.Figures, plan, result: ClosedRuns.Valid with { Flash = new(150, 151, 151, 700) });

        Assert.Equal(0.5, Line(made, "thermometer calibration").StandardCelsius, 6);
        Assert.Contains("certificate T-0417 of 2031-03-02", Line(made, "thermometer calibration").Source, StringComparison.Ordinal);
    }

    [Fact]
    public void Beyond_the_calibrated_span_the_certificate_does_not_pretend_to_cover()
    {
        var certificate = ClosedRuns.Certificate with { Points = [new(100, 0.2, 0.3), new(200, -0.4, 0.5)] };
        var made = Make(ClosedRuns.Figures, ClosedRuns.Plan with { Thermometer = ThermometerChain.Plain with { Calibration = certificate } });

        Assert.Contains(made.LeftOut, one => one is { Name: "thermometer beyond its calibrated span", Reason: LeftOutReason.NotStated });
        Assert.Equal(0.25, Line(made, "thermometer calibration").StandardCelsius, 9);
    }

    [Fact]
    public void The_lag_line_says_whether_the_lag_was_corrected()
    {
        var corrected = ClosedRuns.Plan with { Thermometer = ClosedRuns.Plan.Thermometer with { Lag = new(6, true) } };

        Assert.Contains("which was not corrected", Line(Make(ClosedRuns.Figures), "thermometer lag").Source, StringComparison.Ordinal);
        Assert.Contains("time constant of 6.0 s", Line(Make(ClosedRuns.Figures, corrected), "thermometer lag").Source, StringComparison.Ordinal);
    }

    [Fact]
    public void A_ramp_that_left_its_band_is_remarked()
    {
        var fast = ClosedRuns.Valid with { Verdict = Verdict.Doubtful, Findings = [ClosedRuns.Found(FindingCodes.RateTooFast, FindingWeight.Doubtful, 6.4, 6)] };

        Assert.Contains(Make(ClosedRuns.Figures, result: fast).Remarks, remark => remark.Contains("does not cover", StringComparison.Ordinal));
        Assert.DoesNotContain(Make(ClosedRuns.Figures).Remarks, remark => remark.Contains("does not cover", StringComparison.Ordinal));
    }

    [Fact]
    public void Wrong_figures_are_refused_with_field_and_range()
    {
        var wrong = new LaboratoryFigures
        {
            BarometerLimitKilopascals = 0,
            CoefficientLimitCelsiusPerKilopascal = 0.3,
            DriftLimitCelsius = -1,
            ResolutionCelsius = double.NaN,
            LagResidualCelsius = double.PositiveInfinity,
            RampSensitivityCelsiusPerCelsiusPerMinute = 11,
            Repeatability = new(0, 1),
            TakeMethodRepeatability = true,
        };

        Assert.False(FlashPointBudget.TryMake(ClosedRuns.Valid, ClosedRuns.Plan, PointKind.Flash, wrong, out var made, out var errors));

        Assert.Null(made);
        Assert.Equal(
            ["barometerLimitKilopascals", "coefficientLimitCelsiusPerKilopascal", "driftLimitCelsius", "resolutionCelsius", "lagResidualCelsius", "rampSensitivityCelsiusPerCelsiusPerMinute", "repeatability.standardDeviationCelsius", "repeatability.results", "takeMethodRepeatability"],
            errors.Select(error => error.Path["figures.".Length..]));
        Assert.Contains("0 is not above 0 and up to 5 kPa", errors[0].Message, StringComparison.Ordinal);
        Assert.Contains("1 results are not within 2 to 1000", errors[7].Message, StringComparison.Ordinal);
    }

    [Fact]
    public void An_invalid_run_has_no_budget()
    {
        var invalid = ClosedRuns.Invalid(ClosedRuns.Found(FindingCodes.FlashAtFirstApplication, FindingWeight.Invalid, 203));

        Assert.False(FlashPointBudget.TryMake(invalid, ClosedRuns.Plan, PointKind.Flash, ClosedRuns.Figures, out var made, out var errors));

        Assert.Null(made);
        var error = Assert.Single(errors);
        Assert.Equal("flash", error.Path);
        Assert.StartsWith("No flash point can be reported", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_run_judged_from_its_readings_gets_its_budgets()
    {
        var run = new BenchTrace { Kilopascals = 97.3, Seed = 77 }.Make();
        var result = run.Judge().Result;

        var flash = Make(ClosedRuns.Figures, run.Trace.Plan, result);
        var fire = Make(ClosedRuns.Figures, run.Trace.Plan, result, PointKind.Fire);

        // Passes lie some 2 °C apart, so half of it is about 1 °C.
        Assert.InRange(Line(flash, "application interval").Value, 0.8, 1.3);
        Assert.InRange(Line(fire, "application interval").Value, 0.8, 1.3);
        Assert.Contains(flash.LeftOut, one => one.Name == "thermometer calibration");
    }

    private static Contribution Line(PointUncertainty made, string name) => made.Budget.Lines.Single(line => line.Contribution.Name == name).Contribution;

    private static PointUncertainty Make(LaboratoryFigures figures, RunPlan? plan = null, RunResult? result = null, PointKind kind = PointKind.Flash)
    {
        Assert.True(FlashPointBudget.TryMake(result ?? ClosedRuns.Valid, plan ?? ClosedRuns.Plan, kind, figures, out var made, out var errors), string.Join("; ", errors));
        Assert.Empty(errors);
        return made;
    }

    // ISO 2719, procedure B: residual fuel r = 2.0 °C, other materials r = 5.0 °C; values from memory.
    [Theory]
    [InlineData("residual fuel", 2.0)]
    [InlineData(null, 5.0)]
    public void The_methods_repeatability_is_that_of_the_material(string? material, double limit)
    {
        var made = Make(new() { TakeMethodRepeatability = true }, Planned("iso-2719-2016-b", 80) with { Material = material }, At(80));

        var scatter = made.Budget.Lines.Single(line => line.Contribution.Name == "repeatability").Contribution;
        Assert.Equal(limit / 2.77, scatter.StandardCelsius, 1e-9);
    }

    // ISO 13736:2021, clause 1 (scope): precision holds from -8.5 to 75.0 °C.
    [Theory]
    [InlineData(-8.5, true)]
    [InlineData(-9, false)]
    public void Outside_the_flash_points_for_which_precision_is_stated_none_is_taken(double flash, bool stated)
    {
        var made = Make(new() { TakeMethodRepeatability = true }, Planned("iso-13736-2021", flash), At(flash));

        Assert.Equal(stated, made.Budget.Lines.Any(line => line.Contribution.Name == "repeatability"));
        Assert.Equal(!stated, made.LeftOut.Any(one => one.Name == "repeatability" && one.Text.Contains("-8.5 to 75 °C only", StringComparison.Ordinal)));
        Assert.Equal(!stated, made.Remarks.Any(remark => remark.Contains("is not known", StringComparison.Ordinal)));
        Assert.Equal(stated, made.Remarks.Any(remark => remark.Contains("reproducibility", StringComparison.Ordinal)));
    }

    private static RunPlan Planned(string methodId, double expected) => new()
    {
        Method = Acquire.Core.Methods.MethodCatalog.TryFind(methodId, out var method) ? method : throw new InvalidOperationException(),
        ExpectedFlashCelsius = expected,
        StationPressureKilopascals = 101.3,
        HasFlameSignal = true,
    };

    private static RunResult At(double flash) => ClosedRuns.Valid with { Flash = new(flash, flash, flash, 700), Fire = null };
}
