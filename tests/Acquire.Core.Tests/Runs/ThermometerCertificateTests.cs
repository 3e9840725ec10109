using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using Acquire.Core.Thermometry;
using Xunit;

namespace Acquire.Core.Tests.Runs;

public sealed class ThermometerCertificateTests
{
    private static readonly BenchTrace Usual = new() { PerSecond = 25, FireCelsius = null, Seed = 13, ThermometerStep = 0.001 };

    internal static readonly CalibrationCertificate Certificate = new()
    {
        Number = "invented 2",
        CalibratedOn = new(2026, 3, 2),
        DueOn = new(2027, 3, 2),
        Points = [new(20, 0, 0.3), new(400, 0, 0.3)],
    };

    [Theory]
    [InlineData(227.3, 300.0, true)]
    [InlineData(20.0, 226.8, true)]
    [InlineData(20.0, 300.0, false)]
    public void Outside_the_span_is_told_by_the_reading_and_not_by_the_corrected_temperature(double lowest, double highest, bool outside)
    {
        // The flash is read at 227.1 °C; a lag of 5 s lifts it by 0.46 °C, a certificate by 3 °C.
        var run = Usual.Make();
        var certificate = Certificate with { Points = [new(lowest, 3, 0.3), new(highest, 3, 0.3)] };

        var judged = run.Judge(plan: run.Trace.Plan with { Thermometer = ThermometerChain.Plain with { Calibration = certificate, Lag = new SensorLag(5, true) } });

        Assert.Equal(outside, judged.Result.Findings.Any(finding => finding.Code == FindingCodes.OutsideCalibration));
    }

    [Theory]
    [InlineData(5)]
    [InlineData(30)]
    [InlineData(60)]
    public void A_corrected_lag_makes_no_step_where_the_record_begins_on_the_ramp(double timeConstantSeconds)
    {
        var run = Usual.Make();
        var rows = run.Rows.SkipWhile(row => row.AtSeconds < 60).ToArray();
        var plan = run.Trace.Plan with { Thermometer = ThermometerChain.Plain with { Lag = new SensorLag(timeConstantSeconds, true) } };

        var judged = run.Judge(rows, plan);

        var unwanted = new[] { FindingCodes.RateTooFast, FindingCodes.TemperatureJump, FindingCodes.DataGap };
        Assert.DoesNotContain(judged.Result.Findings, finding => unwanted.Contains(finding.Code));
    }

    [Theory]
    [InlineData("2027-02-01", FindingCodes.CalibrationDue, FindingWeight.Note, 29.0)]
    [InlineData("2027-03-03", FindingCodes.CalibrationOverdue, FindingWeight.Doubtful, 1.0)]
    [InlineData("2026-03-01", FindingCodes.CalibrationNotYetValid, FindingWeight.Doubtful, null)]
    [InlineData("2026-09-01", null, null, null)]
    [InlineData(null, FindingCodes.CalibrationNotJudged, FindingWeight.Note, null)]
    public void The_certificate_is_judged_by_the_day_of_the_run(string? madeOn, string? code, FindingWeight? weight, double? days)
    {
        var run = Usual.Make();
        var plan = run.Trace.Plan with { Thermometer = ThermometerChain.Plain with { Calibration = Certificate }, MadeOn = madeOn is null ? null : DateOnly.Parse(madeOn, System.Globalization.CultureInfo.InvariantCulture) };

        var judged = run.Judge(plan: plan);

        var found = judged.Result.Findings.SingleOrDefault(finding => finding.Code.StartsWith("calibration-", StringComparison.Ordinal));
        Assert.Equal((code, weight, days), (found?.Code, found?.Weight, found?.Value));
    }

    [Theory]
    [InlineData(400, false)]
    [InlineData(200, true)]
    public void A_flash_outside_the_calibrated_span_is_doubtful(double highestCelsius, bool outside)
    {
        var run = Usual.Make();
        var certificate = Certificate with { Points = [new(20, 0.5, 0.3), new(highestCelsius, 0.5, 0.3)] };

        var judged = run.Judge(plan: run.Trace.Plan with { Thermometer = ThermometerChain.Plain with { Calibration = certificate } });

        Assert.Equal(outside ? FindingWeight.Doubtful : null, judged.Result.Findings.SingleOrDefault(finding => finding.Code == FindingCodes.OutsideCalibration)?.Weight);
        Assert.Equal(run.Judge().Result.Flash!.ObservedCelsius + 0.5, judged.Result.Flash!.ObservedCelsius, tolerance: 0.01);
    }

    [Fact]
    public void A_lag_correction_is_recorded_with_the_result()
    {
        var run = Usual.Make();

        var judged = run.Judge(plan: run.Trace.Plan with { Thermometer = ThermometerChain.Plain with { Lag = new SensorLag(10, true) } });

        Assert.Equal(10, judged.Only(FindingCodes.LagCorrected).Value);
        Assert.Equal(run.Judge().Result.Flash!.ObservedCelsius + (10 * 5.5 / 60), judged.Result.Flash!.ObservedCelsius, tolerance: 0.1);
        Assert.DoesNotContain(run.Judge(plan: run.Trace.Plan with { Thermometer = ThermometerChain.Plain with { Lag = new SensorLag(10, false) } }).Result.Findings, finding => finding.Code == FindingCodes.LagCorrected);
    }

    [Fact]
    public void The_lag_at_the_current_ramp_is_shown()
    {
        var run = Usual.Make();
        var plan = run.Trace.Plan with { Thermometer = ThermometerChain.Plain with { Lag = new SensorLag(12, false) } };
        var state = RunSupervisor.Begin(plan);
        foreach (var row in run.Rows.TakeWhile(row => row.TemperatureCelsius < 210))
        {
            RunSupervisor.Step(state, plan, row, []);
        }

        // 12 s × 5.5 °C/min = 1.1 °C: the response of a first-order element to a ramp lags by time constant times rate (textbook).
        Assert.Equal(1.1, RunSupervisor.Status(state, plan).LagCelsius!.Value, tolerance: 0.05);
    }
}
