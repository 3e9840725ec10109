using Acquire.Core.Methods;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using Xunit;

namespace Acquire.Core.Tests.Runs.Validity;

/// <summary>The rules whose limit is a figure of the method, by the figures of each method that can be run: their sources stand in the method files.</summary>
public sealed class MethodValidityTests
{
    public static TheoryData<string> Ids => new(MethodCatalog.All.Where(method => method.Procedure == ProcedureKind.Ramp).Select(method => method.Id));

    private static BenchTrace Trace(string id, double? expected = null)
    {
        var method = MethodCatalog.TryFind(id, out var found) ? found : throw new ArgumentException(id, nameof(id));
        var scope = method.FlashScopeCelsius;
        var at = expected ?? Math.Round(scope.From + ((scope.To - scope.From) * 0.4));
        var rules = new RunRules(method, at);
        var band = rules.Ramp.ControlledHeatingCelsiusPerMinute;
        var begins = Math.Max(Math.Max(rules.Ramp.StartAtLeastBelowExpectedCelsius, rules.Applications.FirstBelowExpectedCelsius) + (rules.Judgement.SettleCelsius ?? 0) + 2, rules.Ramp.EaseBelowExpectedCelsius + 8 ?? 0);
        return new()
        {
            Method = method,
            ExpectedCelsius = at,
            StartCelsius = at - begins,
            RateAt = rules.Ramp.IsConstant ? _ => (band.From + band.To) / 2 : null,
            FlashCelsius = at - 0.3,
            FireCelsius = null,
            HottestCelsius = at + 40,
            PassSeconds = _ => rules.Applications.PassSeconds,
            PerSecond = 10,
        };
    }

    private static void AssertPair(string code, BenchTrace broken, BenchTrace kept)
    {
        var (bad, good) = (broken.Make().Judge(), kept.Make().Judge());
        Assert.True(bad.Codes.Contains(code), bad.Story);
        good.Lacks(code);
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void A_run_that_keeps_the_figures_is_valid(string id)
    {
        var run = Trace(id).Make();

        run.Judge().AssertTrue(run);
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void A_rate_outside_the_band_is_told_and_one_just_inside_is_not(string id)
    {
        var trace = Trace(id);
        var (band, rules) = (trace.Rules.Ramp.ControlledHeatingCelsiusPerMinute, trace.Rules);
        var beyond = rules.Judgement.GrossRateExcessCelsiusPerMinute + (2 * rules.Judgement.RateToleranceCelsiusPerMinute);
        BenchTrace At(double rate) => trace with { RateAt = celsius => rules.Ramp.IsConstant || celsius > trace.ExpectedCelsius - 30 ? rate : trace.RateOf(celsius) };

        AssertPair(FindingCodes.RateTooFast, At(band.To + beyond), At(band.To - 0.02));
        AssertPair(FindingCodes.RateTooSlow, At(Math.Max(0.3 * band.From, band.From - beyond)), At(band.From + 0.02));
    }

    // Half a degree is granted: common practice, no source.
    [Theory]
    [MemberData(nameof(Ids))]
    public void A_start_warmer_than_the_method_allows_is_told(string id)
    {
        var trace = Trace(id);
        var warmest = trace.ExpectedCelsius - trace.Rules.Ramp.StartAtLeastBelowExpectedCelsius;

        AssertPair(FindingCodes.StartTooWarm, trace with { StartCelsius = warmest + 1 }, trace with { StartCelsius = warmest + 0.1 });
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void A_first_application_nearer_than_the_method_allows_is_told(string id)
    {
        var trace = Trace(id);
        var latest = trace.ExpectedCelsius - trace.Rules.Applications.FirstAtLatestBelowExpectedCelsius;

        AssertPair(FindingCodes.FirstApplicationLate, trace with { FirstApplicationCelsius = latest + trace.Rules.Judgement.IntervalToleranceCelsius + 0.4 }, trace with { FirstApplicationCelsius = latest });
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void An_application_later_than_the_interval_and_its_tolerance_is_told(string id)
    {
        var trace = Trace(id);
        var (tolerance, rules) = (trace.Rules.Judgement.IntervalToleranceCelsius, trace.Rules.Applications);

        // Until the first is due at the latest, passes may be checks. Later than 1.75 intervals is missed: between the two lies late.
        var late = (int)((rules.FirstBelowExpectedCelsius - rules.FirstAtLatestBelowExpectedCelsius + tolerance) / rules.IntervalCelsius) + 2;
        var by = tolerance + (0.6 * ((0.75 * rules.IntervalCelsius) - tolerance));

        AssertPair(FindingCodes.ApplicationLate, trace with { LateBy = number => number == late ? by : 0 }, trace with { LateBy = number => number == late ? 0.5 * tolerance : 0 });
        AssertPair(FindingCodes.ApplicationMissed, trace with { LeftOut = [late] }, trace with { LateBy = number => number == late ? by : 0 });
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void A_flash_outside_the_window_above_the_first_application_is_told_where_the_method_states_one(string id)
    {
        var trace = Trace(id);
        var interval = trace.Rules.Applications.IntervalCelsius;
        var first = trace.Rules.FirstApplicationCelsius;
        if (trace.Rules.Applications.FlashWindowAboveFirstCelsius is not { } window)
        {
            (trace with { FlashCelsius = trace.ExpectedCelsius + 20 }).Make().Judge().Lacks(FindingCodes.FlashOutsideWindow);
            return;
        }

        AssertPair(FindingCodes.FlashOutsideWindow, trace with { FlashCelsius = first + window.To + 0.4 }, trace with { FlashCelsius = first + window.To - (1.4 * interval) });
        AssertPair(FindingCodes.FlashOutsideWindow, trace with { FlashCelsius = first + window.From - (1.6 * interval) }, trace with { FlashCelsius = first + window.From + 0.4 });
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void A_flash_below_the_scope_is_told(string id)
    {
        var lowest = MethodCatalog.TryFind(id, out var method) ? method.FlashScopeCelsius.From : throw new ArgumentException(id, nameof(id));
        var trace = Trace(id, lowest + 4);
        var interval = trace.Rules.Applications.IntervalCelsius;

        AssertPair(FindingCodes.OutsideScope, trace with { FlashCelsius = lowest - 0.5 - interval }, trace with { FlashCelsius = lowest + 0.5 });
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void Its_stirrer_is_judged_where_the_method_stirs(string id)
    {
        var trace = Trace(id);
        var run = trace.Make();
        if (run.Trace.Method.Stirring is not { } rules)
        {
            var told = new ToldBench { Stirrer = _ => 0 }.Judge(run);
            Assert.DoesNotContain(told.Codes, code => code.StartsWith("stirrer-", StringComparison.Ordinal));
            return;
        }

        var speed = (rules.RevolutionsPerMinute.From + rules.RevolutionsPerMinute.To) / 2;
        var (stops, stays, fast) = (ToldBench.Stops(run, speed), ToldBench.Stops(run, speed, 2), ToldBench.Stops(run, rules.RevolutionsPerMinute.To + 1));
        Assert.True(new ToldBench { Stirrer = stops }.Judge(run).Result.Verdict == Verdict.Valid);
        Assert.Equal(1, new ToldBench { Stirrer = stays }.Judge(run).Only(FindingCodes.StirrerOnAtApplication).Value);
        Assert.Equal(FindingWeight.Doubtful, new ToldBench { Stirrer = fast }.Judge(run).Only(FindingCodes.StirrerOutsideBand).Weight);
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void A_draught_and_a_room_that_changes_are_judged_by_its_figures(string id)
    {
        var run = Trace(id).Make();
        var rules = run.Trace.Method.Surroundings!;
        var (from, end) = (run.Passes[2].Start, run.Rows[^1].AtSeconds);
        Judged Blowing(double speed) => new ToldBench { Air = t => t >= from - 4 && t < from + 4 ? speed : 0.02 }.Judge(run);
        Judged Warming(double celsius) => new ToldBench { Room = t => 23 + (celsius * t / end) }.Judge(run);

        Assert.Equal(rules.DraughtMetresPerSecond, Blowing(rules.DraughtMetresPerSecond!.Value + 0.15).Only(FindingCodes.Draught).Limit);
        Blowing(rules.DraughtMetresPerSecond!.Value - 0.02).Lacks(FindingCodes.Draught);
        Assert.Equal(rules.AmbientChangeCelsius, Warming(rules.AmbientChangeCelsius!.Value * 1.4).Only(FindingCodes.AmbientChanged).Limit);
        Warming(rules.AmbientChangeCelsius!.Value * 0.9).Lacks(FindingCodes.AmbientChanged);
    }
}
