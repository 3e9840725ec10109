using Acquire.Core.Methods;
using Acquire.Core.Results;
using Acquire.Core.Tests.Traces;
using Xunit;

namespace Acquire.Core.Tests.Runs;

/// <summary>Rules about the test flame that only some methods have: the window of a valid flash, the earliest pass, the shortest pass, intervals that hang on the expected flash point.</summary>
public sealed class ClosedCupApplicationTests
{
    private static readonly MethodDefinition Method = MethodCatalog.TryFind("iso-2719-2016-a", out var method) ? method : throw new InvalidOperationException();

    // First application at 39 °C, then every degree.
    private static readonly BenchTrace Good = Expecting(62);

    private static BenchTrace Expecting(double expected) => new()
    {
        Method = Method,
        ExpectedCelsius = expected,
        StartCelsius = expected - 37,
        RateAt = _ => 5.5,
        FlashCelsius = expected - 0.3,
        FireCelsius = null,
        HottestCelsius = expected + 20,
    };

    // ISO 2719: a flash 18 to 28 °C above the first application counts; value from memory.
    [Theory]
    [InlineData(56.9, 18.0)]
    [InlineData(55.8, null)]
    [InlineData(65.6, 28.0)]
    [InlineData(67.6, null)]
    public void A_flash_outside_the_window_is_approximate(double flash, double? inside)
    {
        var run = (Good with { FlashCelsius = flash }).Make();
        var judged = run.Judge();
        judged.AssertFlash(run);
        if (inside is not null)
        {
            Assert.True(judged.Result.Verdict == Verdict.Valid, judged.Story);
            return;
        }

        var finding = judged.Only(FindingCodes.FlashOutsideWindow);
        Assert.Equal(FindingWeight.Doubtful, finding.Weight);
        Assert.Equal(run.Flash!.Celsius - run.Passes[0].Celsius, finding.Value!.Value, 0.3);
        Assert.Equal(flash < 60 ? 18 : 28, finding.Limit);
        Assert.Contains("approximate: repeat with a fresh test portion", finding.Text, StringComparison.Ordinal);
        Assert.Equal(Verdict.Doubtful, judged.Result.Verdict);
        Assert.NotNull(judged.Result.Flash!.ReportedCelsius);
    }

    [Fact]
    public void A_flash_at_the_first_application_is_that_and_nothing_else()
    {
        var judged = (Good with { FlashCelsius = 30 }).Make().Judge();

        judged.Only(FindingCodes.FlashAtFirstApplication);
        judged.Lacks(FindingCodes.FlashOutsideWindow);
    }

    // ASTM D93, 11.1.5: (23 ± 5) °C below. The window is counted from the first pass of the series, so one that is a check must not open it.
    [Fact]
    public void A_pass_earlier_than_the_series_may_begin_is_a_check_and_does_not_open_it()
    {
        // At 33.5 °C, 28.5 below: a check. At 34.5 °C the series begins; the flash comes some 27 °C above.
        var run = (Good with { FirstApplicationCelsius = 33.5, FlashCelsius = 61 }).Make();
        var judged = run.Judge();

        Assert.True(judged.Result.Verdict == Verdict.Valid, judged.Story);
        Assert.Equal(run.Passes.Count, judged.Result.Applications.Count);
        judged.Lacks(FindingCodes.ApplicationEarly);

        // A check at the start, and then none until the series is due, leaves no hole.
        var checkedOnce = (Good with { FirstApplicationCelsius = 30, LateBy = number => number == 1 ? 8 : 0 }).Make().Judge();
        Assert.True(checkedOnce.Result.Verdict == Verdict.Valid, checkedOnce.Story);
    }

    [Theory]
    [InlineData(43.5, false)]
    [InlineData(44.8, true)]
    public void A_first_application_nearer_than_18_degrees_is_late(double first, bool late)
    {
        var judged = (Good with { FirstApplicationCelsius = first, FlashCelsius = 63 }).Make().Judge();

        Assert.Equal(late, judged.Codes.Contains(FindingCodes.FirstApplicationLate));
    }

    [Theory]
    [InlineData(110, 1, null)]
    [InlineData(110, 2, FindingCodes.ApplicationMissed)]
    [InlineData(112, 2, null)]
    [InlineData(112, 1, FindingCodes.ApplicationEarly)]
    public void The_interval_hangs_on_the_expected_flash_point(double expected, double made, string? code)
    {
        // Made by a schedule of its own, judged by the method.
        var schedule = Method with { Variants = null, Applications = Method.Applications! with { IntervalCelsius = made } };
        var trace = Expecting(expected) with { Method = schedule };
        var run = trace.Make();
        var judged = run.Judge(plan: trace.Plan with { Method = Method });

        if (code is null)
        {
            judged.AssertTrue(run);
        }
        else
        {
            Assert.Contains(code, judged.Codes);
        }
    }

    // Half of the nominal second: common practice, no source.
    [Theory]
    [InlineData(0.55, null)]
    [InlineData(0.4, FindingCodes.ApplicationTooShort)]
    [InlineData(2.4, null)]
    [InlineData(2.8, FindingCodes.ApplicationTooLong)]
    public void A_pass_is_neither_too_short_nor_too_long(double seconds, string? code)
    {
        var judged = (Good with { PassSeconds = number => number == 3 ? seconds : 1 }).Make().Judge();

        Assert.True(judged.Result.Verdict == (code is null ? Verdict.Valid : Verdict.Doubtful), judged.Story);
        Assert.Equal(code is null ? [] : [code], judged.Codes);
    }

    [Fact]
    public void Where_no_shortest_pass_is_stated_a_short_one_is_no_finding()
    {
        var judged = new BenchTrace { PassSeconds = number => number == 3 ? 0.3 : 1 }.Make().Judge();

        judged.Lacks(FindingCodes.ApplicationTooShort);
    }

    // ISO 2719, 10.2: expecting more than 130 °C, the flame is applied every 10 °C up to 28 °C below as well; the first application comes (23 ± 5) °C below, then every 2 °C.
    // With 140 °C expected a check at 113 °C lies where the series could have opened; after it passes are due from 117 °C, at the latest at 122 °C.
    [Theory]
    [InlineData(new[] { 1 }, true, null)]
    [InlineData(new[] { 1 }, false, null)]
    [InlineData(new[] { 1, 2, 3 }, true, null)]
    [InlineData(new[] { 1, 2, 3, 4 }, true, FindingCodes.ApplicationMissed)]
    public void A_check_for_volatile_vapour_on_the_way_up_does_not_open_the_series(int[] leftOut, bool flame, string? code)
    {
        var run = (Expecting(140) with { StartCelsius = 90, FirstApplicationCelsius = 113, LeftOut = leftOut, HasFlame = flame, PassHeight = 30 }).Make();
        var judged = run.Judge();

        judged.AssertFlash(run);
        Assert.True(judged.Codes.Contains(FindingCodes.ApplicationMissed) == (code is not null), judged.Story);
        Assert.True(judged.Result.Verdict == (code is null ? Verdict.Valid : Verdict.Doubtful), judged.Story);
    }

    [Fact]
    public void A_flash_at_the_first_application_after_a_check_is_a_flash_at_the_first_application()
    {
        var judged = (Expecting(140) with { StartCelsius = 90, FirstApplicationCelsius = 113, LeftOut = [1], FlashCelsius = 114 }).Make().Judge();

        judged.Only(FindingCodes.FlashAtFirstApplication);
    }
}
