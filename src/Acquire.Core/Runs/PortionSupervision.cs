using Acquire.Core.Alarms;
using Acquire.Core.Detection;
using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>Follows an equilibrium run: the block to its temperature, a fresh portion, its wait, one application; again and again until the search has its answer.</summary>
internal static class PortionSupervision
{
    // So long after the last test the record stays open: a wrong key can be taken back, a burn is seen to its end.
    private const double ClosingSeconds = 45;

    // A search that has not ended by then is not one: common practice, no source.
    private const int MostPortions = 100;

    // Whether a block keeps its temperature is told by means over seconds: noise has its own extremes.
    private const double MeanSeconds = 2;

    // Whoever follows a prompt at once must not be told of a short wait.
    private const double ShareOfTolerance = 0.75;

    public static void Temperature(in Bench bench, double seconds, double celsius)
    {
        var s = bench.State;
        var steps = s.Gate.Steps;
        if (!s.Gate.Admit(seconds, celsius))
        {
            return;
        }

        s.Ramp = s.Gate.Steps > steps ? new RampEstimator() : s.Ramp;
        if (s.Portions.SetCelsius is null)
        {
            Set(bench, bench.Portions.FirstSetCelsius);
            bench.MoveTo(RunPhase.SettingTemperature);
        }
        else if (seconds - s.TemperatureAt > bench.Judgement.GapSeconds)
        {
            Gap(bench, seconds, celsius);
        }

        (s.TemperatureCelsius, s.TemperatureAt) = (celsius, seconds);
        s.HighestCelsius = Math.Max(s.HighestCelsius, celsius);
        s.LowestCelsius = Math.Min(s.LowestCelsius, celsius);
        if (s.Ramp.Add(seconds, celsius) && s.Ramp.MeanOver(MeanSeconds) is { } mean)
        {
            Follow(bench, mean);
        }
    }

    // What the block did in between is not known: it has to prove itself anew.
    private static void Gap(in Bench bench, double seconds, double celsius)
    {
        var s = bench.State;
        s.Portions.SteadySince = null;
        if (s.Portions.Portion is { Tested: false } portion)
        {
            var (length, limit) = (seconds - s.TemperatureAt, bench.Judgement.GapSeconds);
            portion.Questions.Add(new(FindingCodes.DataGap, FindingWeight.Doubtful, seconds, celsius, length, limit,
                $"No thermometer reading for {Text.Seconds(length)} (limit {Text.Seconds(limit)}) while a test portion was in the cup. Check the wire; whether the block kept its temperature is not known."));
        }
    }

    private static void Follow(in Bench bench, double celsius)
    {
        var (s, portions) = (bench.State, bench.State.Portions);
        var off = Math.Abs(celsius - portions.SetCelsius!.Value);
        if (celsius <= portions.SetCelsius + bench.Portions.Rules.BlockToleranceCelsius)
        {
            bench.Clear(AlarmCodes.ChargedTooHot);
        }

        var within = off <= bench.Portions.Rules.BlockToleranceCelsius;
        portions.SteadySince = within ? portions.SteadySince ?? s.AtSeconds : null;
        if (portions.Portion is { Tested: false } portion)
        {
            portion.WorstOffCelsius = Math.Max(portion.WorstOffCelsius, off);
        }

        if (s.Phase == RunPhase.AwaitingPortion && !within)
        {
            bench.MoveTo(RunPhase.SettingTemperature);
        }
        else if (s.Phase is RunPhase.SettingTemperature or RunPhase.ClearingCup && IsSteady(bench))
        {
            bench.MoveTo(RunPhase.AwaitingPortion);
        }
    }

    /// <summary>Whether the block has kept the set temperature for long enough to charge a portion.</summary>
    public static bool IsSteady(in Bench bench) => bench.State.AtSeconds - bench.State.Portions.SteadySince >= bench.Portions.Rules.SteadySeconds;

    /// <summary>Time has passed: is the application near, is it due, is the record over?</summary>
    public static void Pass(in Bench bench)
    {
        var (s, portions) = (bench.State, bench.State.Portions);
        if (portions.Portion is { Tested: false } portion)
        {
            Due(bench, portion);
        }

        if (s.Phase == RunPhase.Cooling && s.AtSeconds - s.CoolingSince > ClosingSeconds)
        {
            RunClosing.Close(bench);
        }
    }

    private static void Due(in Bench bench, PortionInCup portion)
    {
        var s = bench.State;
        var lead = Math.Min(bench.Plan.PromptLeadSeconds, ShareOfTolerance * bench.Portions.Rules.WaitToleranceSeconds);
        if (bench.Plan.IsGuided && !portion.Prompted && s.AtSeconds >= portion.DueAt - lead)
        {
            portion.Prompted = true;
            s.Guide.Prompt = new(s.Series.Made.Count + 1, s.Portions.SetCelsius!.Value);
            bench.Outputs.Add(new ApplicationPrompted(s.AtSeconds, s.Guide.Prompt.Number, s.Guide.Prompt.DueCelsius));
        }

        if (s.Phase == RunPhase.PortionWaiting && s.AtSeconds >= portion.DueAt)
        {
            bench.MoveTo(RunPhase.ApplyingTestFlame);
        }
    }

    /// <summary>A test is over: what comes next?</summary>
    public static void Tested(in Bench bench, PortionTest test)
    {
        var (s, portions) = (bench.State, bench.State.Portions);
        portions.Tests.Add(test);
        bench.Outputs.Add(new PortionTested(s.AtSeconds, test));
        var next = bench.Portions.Next(portions.Tests);
        if (next.Wish == SearchWish.Test && portions.Tests.Count < MostPortions)
        {
            bench.MoveTo(RunPhase.ClearingCup);
            Set(bench, next.Celsius);
            return;
        }

        portions.Ended = next.Wish;
        var search = bench.Portions.IsPointSearch;
        portions.Decisive = next.Wish == SearchWish.Found ? portions.Tests.Find(one => one.Counts && one.SetCelsius == next.Celsius && (one.Flashed || !search)) : null;
        if (search && portions.Decisive is { } decisive)
        {
            s.Flash = new(decisive.AppliedSeconds, decisive.AppliedCelsius);
            bench.Outputs.Add(new FlashDetected(decisive.AppliedSeconds, decisive.AppliedCelsius, decisive.Number));
        }

        s.CoolingSince = s.AtSeconds;
        bench.MoveTo(RunPhase.Cooling);
    }

    private static void Set(in Bench bench, double celsius)
    {
        var s = bench.State;
        (s.Portions.SetCelsius, s.Portions.SteadySince) = (celsius, null);
        bench.Outputs.Add(new TemperatureSet(s.AtSeconds, s.Portions.Tests.Count + 1, celsius));
    }
}
