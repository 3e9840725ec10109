using Acquire.Core.Methods;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using Xunit;

namespace Acquire.Core.Tests.Runs;

/// <summary>One rate from start to end, as in the closed cups: when the band begins to hold, and what breaks it.</summary>
public sealed class ConstantRateTests
{
    // ISO 2719, procedure A: 5 to 6 °C/min; first application (23 ± 5) °C below, every 1 °C up to 110 °C expected.
    private static readonly BenchTrace PenskyMartens = Closed("iso-2719-2016-a", 62, 25, 5.5);

    // ISO 13736: about 1 °C/min, at least 17 °C below at the start, first application 9 °C below, every 0.5 °C; values from memory.
    private static readonly BenchTrace Abel = Closed("iso-13736-2021", 40, 20, 1) with { PassSeconds = _ => 2.25, FlashCelsius = 39.9, PerSecond = 20 };

    private static BenchTrace Closed(string id, double expected, double start, double rate) => new()
    {
        Method = MethodCatalog.TryFind(id, out var method) ? method : throw new ArgumentException(id, nameof(id)),
        ExpectedCelsius = expected,
        StartCelsius = start,
        RateAt = _ => rate,
        FlashCelsius = expected - 0.3,
        FireCelsius = null,
        HottestCelsius = expected + 20,
        Noise = 0.5,
    };

    [Fact]
    public void A_run_that_keeps_the_rules_is_valid()
    {
        var run = PenskyMartens.Make();
        run.Judge().AssertTrue(run);

        var slow = Abel.Make();
        slow.Judge().AssertTrue(slow);
    }

    [Fact]
    public void Controlled_heating_begins_at_once_and_its_band_when_the_rate_has_settled()
    {
        var judged = PenskyMartens.Make().Judge();

        Assert.Equal((RunPhase.Ready, RunPhase.ControlledHeating), judged.Outputs.OfType<PhaseChanged>().Select(change => (change.From, change.To)).First());
        Assert.DoesNotContain(judged.Outputs.OfType<PhaseChanged>(), change => change.To == RunPhase.FastHeating);
        var band = Assert.Single(judged.Outputs.OfType<BandEntered>());
        Assert.Equal(new RateBand(5, 6), band.Band);
        Assert.Null(band.UntilCelsius);
        // Settled after 6 °C: common practice, no source.
        Assert.Equal(31, band.TemperatureCelsius, 0.3);
    }

    [Theory]
    [InlineData(5.2, null)]
    [InlineData(5.8, null)]
    [InlineData(6.6, FindingCodes.RateTooFast)]
    [InlineData(4.4, FindingCodes.RateTooSlow)]
    public void The_band_holds_from_there_to_the_flash(double rate, string? code)
    {
        var judged = (PenskyMartens with { RateAt = _ => rate }).Make().Judge();

        AssertInvalid(judged, code);
    }

    [Theory]
    [InlineData(29, null)]
    [InlineData(37, FindingCodes.RateTooSlow)]
    public void A_slow_beginning_is_no_matter_until_the_rate_has_to_have_settled(double slowUntil, string? code)
    {
        var judged = (PenskyMartens with { RateAt = celsius => celsius < slowUntil ? 3 : 5.5 }).Make().Judge();

        AssertInvalid(judged, code);
    }

    [Fact]
    public void The_band_holds_at_the_first_application_at_the_latest()
    {
        // From 37 °C on, 2 °C before the first application: less than the 6 °C in which a rate may settle.
        var judged = (PenskyMartens with { StartCelsius = 37 }).Make().Judge();

        Assert.Equal(39, Assert.Single(judged.Outputs.OfType<BandEntered>()).TemperatureCelsius, 0.3);
    }

    [Theory]
    [InlineData(22.8, false)]
    [InlineData(24.2, true)]
    public void A_start_nearer_than_the_method_allows_is_doubtful(double start, bool warm)
    {
        var judged = (Abel with { StartCelsius = start }).Make().Judge();

        Assert.Equal(warm ? Verdict.Doubtful : Verdict.Valid, judged.Result.Verdict);
        Assert.Equal(warm, judged.Codes.Contains(FindingCodes.StartTooWarm));
    }

    [Fact]
    public void A_warm_thermometer_put_into_a_cooled_specimen_does_not_end_the_run()
    {
        var cold = Abel with { ExpectedCelsius = 10, StartCelsius = -8, FlashCelsius = 9.9, HottestCelsius = 30 };
        var run = cold.Make();
        const double Settling = 90;
        var before = Enumerable.Range(0, (int)(Settling * 20)).Select(i => run.Rows[0] with { AtSeconds = i / 20.0, TemperatureCelsius = -8 + (31 * Math.Exp(-i / 20.0 / 12)) });
        var rows = before.Concat(run.Rows.Select(row => row with { AtSeconds = row.AtSeconds + Settling })).ToArray();

        var judged = run.Judge(rows);

        Assert.Equal([FindingCodes.StartTooWarm], judged.Codes);
        Assert.Equal(run.Flash!.Celsius, judged.Result.Flash!.ObservedCelsius, 0.3);
        Assert.Equal(-6, Assert.Single(judged.Outputs.OfType<BandEntered>()).TemperatureCelsius, 0.3);
    }

    [Fact]
    public void The_determination_is_over_with_the_flash_since_no_fire_point_is_asked_for()
    {
        var judged = PenskyMartens.Make().Judge();

        Assert.Null(judged.Result.Fire);
        judged.Lacks(FindingCodes.NoFirePoint);
        Assert.Contains(judged.Outputs.OfType<PhaseChanged>(), change => change.To == RunPhase.Cooling);
    }

    [Fact]
    public void Tag_closed_is_judged_by_the_rate_of_its_regime()
    {
        var low = Closed("astm-d56-22", 50, 35, 1) with { PerSecond = 20 };
        var high = Closed("astm-d56-22", 75, 60, 3);
        foreach (var trace in new[] { low, high })
        {
            var run = trace.Make();
            run.Judge().AssertTrue(run);
        }

        // ASTM D56: 1 °C/min below 60 °C expected, 3 °C/min from there on; values from memory. Each is far outside the other's band.
        AssertInvalid((low with { RateAt = _ => 3 }).Make().Judge(), FindingCodes.RateTooFast);
        AssertInvalid((high with { RateAt = _ => 1, PerSecond = 20 }).Make().Judge(), FindingCodes.RateTooSlow);
    }

    private static void AssertInvalid(Judged judged, string? code)
    {
        if (code is null)
        {
            Assert.True(judged.Result.Verdict == Verdict.Valid, judged.Story);
            return;
        }

        Assert.True(judged.Result.Verdict == Verdict.Invalid, judged.Story);
        Assert.Contains(code, judged.Codes);
    }
}
