using Acquire.Core.Alarms;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using Xunit;

namespace Acquire.Core.Tests.Runs;

public sealed class RampRuleTests
{
    // ISO 2592 and ASTM D92: 5 to 6 °C/min before the flash point, 5 to 17 °C/min before that (recent editions; value from memory).
    private static Judged Heated(Func<double, double>? rate, double start = 156) =>
        new BenchTrace { PerSecond = 20, FireCelsius = null, StartCelsius = start, RateAt = rate, Seed = 3 }.Make().Judge();

    private static Func<double, double> Controlled(double rate) => celsius => celsius < 200 ? Usual(celsius) : rate;

    private static Func<double, double> Excursion(double from, double to, double rate) => celsius => celsius >= from && celsius < to ? rate : Usual(celsius);

    private static double Usual(double celsius) => new BenchTrace().RateOf(celsius);

    [Theory]
    [InlineData(6.4, FindingCodes.RateTooFast, 6)]
    [InlineData(4.6, FindingCodes.RateTooSlow, 5)]
    public void A_rate_outside_the_controlled_band_makes_the_run_invalid(double rate, string code, double limit)
    {
        var judged = Heated(Controlled(rate));

        var finding = judged.Only(code);
        Assert.Equal(FindingWeight.Invalid, finding.Weight);
        Assert.Equal(limit, finding.Limit);
        Assert.Equal(rate, finding.Value!.Value, tolerance: 0.1);
        Assert.Equal(Verdict.Invalid, judged.Result.Verdict);
        Assert.NotNull(judged.Result.Flash);
        Assert.Null(judged.Result.Flash.ReportedCelsius);
    }

    [Theory]
    [InlineData(5.9)]
    [InlineData(5.1)]
    public void A_rate_just_inside_the_controlled_band_is_valid(double rate)
    {
        var judged = Heated(Controlled(rate));

        Assert.True(judged.Result.Verdict == Verdict.Valid, judged.Story);
    }

    [Fact]
    public void A_short_excursion_makes_the_run_doubtful_and_a_gross_one_invalid()
    {
        // 7.3 °C/min for 15 s: the mean over 30 s reaches 6.4 and is above 6.1 for 24 s, within the 30 s allowed.
        var slight = Heated(Excursion(212, 213.8, 7.3));
        // 12 °C/min for 15 s: the mean over 30 s reaches 8.8, more than 1.0 above the band.
        var gross = Heated(Excursion(212, 215, 12));

        Assert.Equal(FindingWeight.Doubtful, slight.Only(FindingCodes.RateTooFast).Weight);
        Assert.True(slight.Result.Verdict == Verdict.Doubtful, slight.Story);
        Assert.NotNull(slight.Result.Flash!.ReportedCelsius);
        Assert.True(gross.Result.Verdict == Verdict.Invalid, gross.Story);
    }

    [Fact]
    public void The_result_states_the_worst_rate_that_followed_in_the_same_stretch()
    {
        // 6.6 °C/min up to 214 °C, which spoils the run within a minute, and 7.6 °C/min after that.
        var judged = Heated(celsius => celsius < 205 ? Usual(celsius) : celsius < 214 ? 6.6 : celsius < 220 ? 7.6 : Usual(celsius));

        var finding = judged.Only(FindingCodes.RateTooFast);
        var raised = Assert.Single(judged.Outputs.OfType<FindingRaised>(), found => found.Finding.Code == FindingCodes.RateTooFast);
        Assert.Equal(FindingWeight.Invalid, finding.Weight);
        Assert.InRange(raised.Finding.Value!.Value, 6.1, 6.9);
        Assert.Equal(7.6, finding.Value!.Value, tolerance: 0.15);
        Assert.Contains("in all", finding.Text, StringComparison.Ordinal);
        Assert.Equal(raised.Finding.TimeSeconds, finding.TimeSeconds);
    }

    [Theory]
    [InlineData(19, true)]
    [InlineData(16.5, false)]
    public void Fast_heating_beyond_its_band_is_doubtful(double rate, bool doubtful)
    {
        // From 110 °C, so that the fast stretch below 170 °C lasts for minutes.
        var judged = Heated(celsius => celsius < 168 ? rate : Usual(celsius), start: 110);

        Assert.True(judged.Result.Verdict == (doubtful ? Verdict.Doubtful : Verdict.Valid), judged.Story);
        Assert.Equal(doubtful, judged.Codes.Contains(FindingCodes.RateTooFast));
    }

    [Fact]
    public void An_alarm_comes_within_seconds_of_a_wrong_rate_and_goes_when_it_is_right_again()
    {
        // A step from 5.5 to 7.0 °C/min at 10 readings a second and 0.05 °C noise is to be seen in 6.5 s (p95 of the easy goal).
        var trace = new BenchTrace { PerSecond = 10, FireCelsius = null, RateAt = Excursion(213, 218, 7), Seed = 5 };
        var run = trace.Make();
        var at = run.Rows.First(row => row.TemperatureCelsius >= 213.1).AtSeconds;

        var alarms = run.Judge().Outputs;

        var raised = Assert.Single(alarms.OfType<AlarmRaised>(), alarm => alarm.Code == AlarmCodes.HeatingTooFast);
        Assert.InRange(raised.AtSeconds - at, 0, 7.5);
        Assert.Contains(alarms.OfType<AlarmCleared>(), alarm => alarm.Code == AlarmCodes.HeatingTooFast && alarm.AtSeconds > raised.AtSeconds);
    }

    [Fact]
    public void An_alarm_comes_before_a_growing_rate_has_left_its_band_and_not_at_a_steady_one()
    {
        // 5.5 °C/min up to 212 °C, then growing by 0.25 °C/min for each degree: the mean over 30 s leaves the band only minutes later.
        var growing = new BenchTrace { PerSecond = 25, FlashCelsius = null, FireCelsius = null, HottestCelsius = 222, RateAt = celsius => Usual(celsius) + Math.Max(0, (celsius - 212) * 0.5), Seed = 5 }.Make().Judge();
        var raised = growing.Outputs.OfType<AlarmRaised>().First(alarm => alarm.Code == AlarmCodes.HeatingTooFast);
        var spoiled = growing.Outputs.OfType<FindingRaised>().First(found => found.Finding.Code == FindingCodes.RateTooFast);

        Assert.True(raised.AtSeconds < spoiled.Finding.TimeSeconds, $"{raised.AtSeconds} s, {spoiled.Finding.TimeSeconds} s");
        for (var seed = 20; seed < 26; seed++)
        {
            var steady = new BenchTrace { PerSecond = 25, FireCelsius = null, RateAt = celsius => Math.Min(Usual(celsius), Math.Max(5.8, Usual(celsius))), Seed = seed }.Make().Judge();
            Assert.DoesNotContain(steady.Outputs, output => output is AlarmRaised { Code: AlarmCodes.HeatingTooFast });
        }
    }

    [Theory]
    [InlineData(171.0, true)]
    [InlineData(170.2, false)]
    public void A_warm_start_is_doubtful(double start, bool doubtful)
    {
        // ASTM D92, 11.1.1: at least 56 °C below the expected 226 °C, that is 170 °C; half a degree is granted.
        var judged = Heated(null, start);

        Assert.True(judged.Result.Verdict == (doubtful ? Verdict.Doubtful : Verdict.Valid), judged.Story);
        Assert.Equal(doubtful, judged.Codes.Contains(FindingCodes.StartTooWarm));
    }

    [Fact]
    public void The_bands_begin_where_the_method_says()
    {
        var bands = Heated(null).Outputs.OfType<BandEntered>().ToArray();

        Assert.Equal(2, bands.Length);
        Assert.Equal(156, bands[0].TemperatureCelsius, tolerance: 0.3);
        Assert.Equal(170, bands[0].UntilCelsius);
        Assert.Equal(17, bands[0].Band.To);
        Assert.Equal(226 - 18, bands[1].TemperatureCelsius, tolerance: 0.3);
        Assert.Equal(6, bands[1].Band.To);
    }
}
