using Acquire.Core.Alarms;
using Acquire.Core.Detection;
using Acquire.Core.Methods;
using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>Follows the specimen temperature: phases, bands, gaps, and the end of heating.</summary>
internal static class RampSupervision
{
    private const double HeatingOffDropCelsius = 4;
    private const double ClosingDropCelsius = 8;
    private const double ClosingSeconds = 45;
    private const double LongestClosingSeconds = 600;
    private const double RisesCelsiusPerMinute = 1;
    private const string SpoiledAdvice = "The run does not count: begin again with a fresh test portion.";

    public static void Temperature(in Bench bench, double seconds, double celsius)
    {
        var s = bench.State;
        var steps = s.Gate.Steps;
        if (!s.Gate.Admit(seconds, celsius))
        {
            return;
        }

        if (s.Gate.Steps > steps)
        {
            // What lies before a step says nothing about the ramp after it, nor does the top reached there about cooling.
            if (s.RampLedger.EasedSince is not null || s.RampLedger.ControlledSince is not null)
            {
                s.Course.Step(s.TemperatureCelsius, seconds, celsius);
            }

            s.Ramp = new RampEstimator();
            s.Scouting.Forget();
            s.HighestCelsius = s.LowestCelsius = celsius;
            s.HighestMeanCelsius = double.NegativeInfinity;
        }

        if (s.TemperatureCelsius is null)
        {
            RampPhases.Begin(bench, seconds, celsius);
        }
        else if (seconds - s.TemperatureAt > bench.Rules.Judgement.GapSeconds)
        {
            Gap(bench, seconds, celsius);
        }

        s.TemperatureCelsius = celsius;
        s.TemperatureAt = seconds;
        s.HighestCelsius = Math.Max(s.HighestCelsius, celsius);
        s.LowestCelsius = Math.Min(s.LowestCelsius, celsius);
        RampPhases.Advance(bench, seconds, celsius);
        if (s.Ramp.Add(seconds, celsius))
        {
            ScoutingSupervision.Follow(bench);
            Rate(bench);
            ApplicationSupervision.Due(bench);
            BenchSupervision.Look(bench);
            PauseSupervision.Look(bench);
            Cooling(bench);
        }
    }

    private static void Gap(in Bench bench, double seconds, double celsius)
    {
        var s = bench.State;
        var length = seconds - s.TemperatureAt;
        var rise = celsius - s.TemperatureCelsius!.Value;
        var rules = bench.Rules;
        var inSeries = celsius >= bench.Rules.FirstApplicationCelsius - rules.Applications.IntervalCelsius && s.Fire is null && s.Phase != RunPhase.Cooling;
        var weight = !inSeries ? FindingWeight.Note
            : s.Flash is null && rise > rules.Applications.IntervalCelsius ? FindingWeight.Invalid
            : FindingWeight.Doubtful;
        bench.Find(FindingCodes.DataGap, weight, seconds, celsius, length, rules.Judgement.GapSeconds,
            $"No thermometer reading for {Text.Seconds(length)} (limit {Text.Seconds(rules.Judgement.GapSeconds)}) while the specimen rose by {Text.Celsius(rise)}. Check the wire; a flash in the gap would not have been seen.");
    }

    /// <summary>A thermometer that fell silent for good leaves a hole that no later reading closes.</summary>
    public static void Silent(in Bench bench)
    {
        var s = bench.State;
        var rules = bench.Rules;
        var length = s.AtSeconds - s.TemperatureAt;
        if (s.TemperatureCelsius is not { } celsius || length <= rules.Judgement.GapSeconds || s.Fire is not null || s.Phase == RunPhase.Cooling)
        {
            return;
        }

        var inSeries = celsius >= bench.Rules.FirstApplicationCelsius - rules.Applications.IntervalCelsius;
        bench.Find(FindingCodes.DataGap, !inSeries || s.Flash is null ? FindingWeight.Note : FindingWeight.Doubtful, s.AtSeconds, celsius, length, rules.Judgement.GapSeconds,
            $"No thermometer reading for the last {Text.Seconds(length)} of the record (limit {Text.Seconds(rules.Judgement.GapSeconds)}). Check the wire; what happened then has no temperature.");
    }

    private static void Rate(in Bench bench)
    {
        var s = bench.State;
        if (BandNow(s, bench.Plan) is not { } band || s.BurningSince is not null || !(bench.Searching || s.Phase == RunPhase.FastHeating))
        {
            return;
        }

        var controlled = s.RampLedger.ControlledSince;
        var since = controlled ?? s.RampLedger.FastSince!.Value;
        RampWarning.Warn(bench, band, since, controlled is not null);
        if (s.Ramp.Fit(RampEstimator.RecordWindowSeconds, since) is not { } line)
        {
            return;
        }

        var rate = line.SlopePerSecond * 60;
        var noise = 2 * line.SlopeUncertaintyPerSecond * 60;
        var tolerance = bench.Rules.Judgement.RateToleranceCelsiusPerMinute;
        Follow(bench, s.RampLedger.Fast, rate - noise - tolerance > band.To, rate, noise, FindingCodes.RateTooFast, band.To, controlled is not null);
        if (controlled is not null)
        {
            Follow(bench, s.RampLedger.Slow, rate + noise + tolerance < band.From, rate, noise, FindingCodes.RateTooSlow, band.From, true);
        }
    }

    /// <summary>The band that holds now; null while the rate settles or heat is eased from one to the other, and when heating is over.</summary>
    public static RateBand? BandNow(RunState s, RunPlan plan)
    {
        if (plan.IsEquilibrium || s.Phase is RunPhase.Cooling or RunPhase.Closed or RunPhase.Ready)
        {
            return null;
        }

        var ramp = plan.Rules.Ramp;
        return s.RampLedger.ControlledSince is not null ? ramp.ControlledHeatingCelsiusPerMinute
            : s.RampLedger.EasedSince is null ? ramp.FastHeatingCelsiusPerMinute
            : null;
    }

    private static void Follow(in Bench bench, Excursion e, bool outside, double rate, double noise, string code, double limit, bool controlled)
    {
        var now = bench.State.Ramp.NewestSeconds;
        if (!outside)
        {
            CloseExcursion(bench, e, code, limit);
            return;
        }

        if (!e.Open)
        {
            e.Open = true;
            e.Since = now;
            e.Worst = rate;
            e.WorstCelsius = bench.State.TemperatureCelsius!.Value;
        }
        else
        {
            e.Seconds += now - e.LastSeconds;
        }

        e.LastSeconds = now;
        if (Math.Abs(rate - limit) > Math.Abs(e.Worst - limit))
        {
            e.Worst = rate;
            e.WorstCelsius = bench.State.TemperatureCelsius!.Value;
        }

        var judgement = bench.Rules.Judgement;
        // The newest seconds may yet turn out to be strays, as of a thermometer that was knocked: those alone condemn nothing.
        var gross = e.Seconds > judgement.RateExcursionSeconds || (e.Seconds > StrayPoints.JudgedAfterSeconds && Math.Abs(rate - limit) - noise > judgement.GrossRateExcessCelsiusPerMinute);
        if (controlled && gross && e.CondemnedAt is null && bench.State.Flash is null)
        {
            (e.CondemnedAt, e.CondemnedWorst) = (bench.State.Findings.Count, e.Worst);
            State(bench, e, code, limit, FindingWeight.Invalid, SpoiledAdvice);
        }
        else if (e.CondemnedAt is not null && bench.State.Flash is null && Math.Abs(rate - limit) > Math.Abs(e.CondemnedWorst - limit))
        {
            e.CondemnedWorst = rate;
        }
    }

    /// <summary>Ends an excursion that is open and states it; where it has already spoiled the run, the finding is brought up to the worst that followed.</summary>
    public static void CloseExcursion(in Bench bench, Excursion e, string code, double limit)
    {
        if (!e.Open)
        {
            return;
        }

        e.Open = false;
        if (e.CondemnedAt is not { } place)
        {
            State(bench, e, code, limit, FindingWeight.Doubtful, "The analyst decides whether the run may stand.");
            return;
        }

        // It was raised, at once, with what was known then. The result has one finding, which says how far it went.
        var first = bench.State.Findings[place];
        bench.State.Findings[place] = first with { Value = e.CondemnedWorst, Text = Sentence(e.CondemnedWorst, code, limit, $"for {Text.Seconds(e.Seconds)} in all", SpoiledAdvice) };
    }

    private static void State(in Bench bench, Excursion e, string code, double limit, FindingWeight weight, string advice) =>
        bench.Find(code, weight, e.Since, e.WorstCelsius, e.Worst, limit, Sentence(e.Worst, code, limit, e.Seconds < 1 ? "just now" : $"for {Text.Seconds(e.Seconds)} so far", advice));

    private static string Sentence(double worst, string code, double limit, string outside, string advice) =>
        $"The mean rate over {Text.Seconds(RampEstimator.RecordWindowSeconds)} {(code == FindingCodes.RateTooFast ? "rose to" : "fell to")} {Text.Rate(worst)} (limit {Text.Rate(limit)}), outside {outside}. {advice}";

    // Judged on means over seconds, not on single readings: noise has its own highest reading, and its own drop.
    private static void Cooling(in Bench bench)
    {
        var s = bench.State;
        if (s.Ramp.Fit(RampEstimator.WarningWindowSeconds, double.NegativeInfinity) is not { } line)
        {
            return;
        }

        var celsius = line.At(s.Ramp.NewestSeconds);
        s.HighestMeanCelsius = Math.Max(s.HighestMeanCelsius, celsius);
        var drop = s.HighestMeanCelsius - celsius;
        if (s.Phase != RunPhase.Cooling)
        {
            // A probe warmed by hand and put into a cold specimen falls too: with one rate, only a cup near its first application can have been turned off.
            var begun = bench.Rules.Ramp.IsConstant
                ? s.RampLedger.ControlledSince is not null && s.HighestMeanCelsius >= bench.Rules.FirstApplicationCelsius - bench.Rules.Applications.IntervalCelsius
                : s.RampLedger.EasedSince is not null;
            if (begun && drop > HeatingOffDropCelsius && line.SlopePerSecond < 0 && s.BurningSince is null)
            {
                s.CoolsByItself = true;
                StartCooling(bench);
            }

            return;
        }

        var heats = Math.Min(RisesCelsiusPerMinute, bench.Rules.Ramp.ControlledHeatingCelsiusPerMinute.From / 2);
        var rises = line.SlopePerSecond > Math.Max(heats / 60, 3 * line.SlopeUncertaintyPerSecond);
        if (s.CoolsByItself && rises)
        {
            Resume(bench, celsius, drop);
        }
        else if (!Glows(s) && (s.AtSeconds - s.CoolingSince > ClosingSeconds || (!s.CoolsByItself && drop > ClosingDropCelsius)))
        {
            RunClosing.Close(bench);
        }
    }

    // A closed run watches nothing any more: while the detector sees burning it stays open, but not for ever.
    private static bool Glows(RunState s) =>
        (s.Watch.StrayStands || s.Watch.Burn is { Ignited: true }) && s.AtSeconds - s.CoolingSince < LongestClosingSeconds;

    /// <summary>Ends a run that is over although its thermometer says nothing any more.</summary>
    public static void CloseWithoutThermometer(in Bench bench)
    {
        var s = bench.State;
        if (s.Phase == RunPhase.Cooling && !Glows(s) && s.AtSeconds - s.CoolingSince > ClosingSeconds && s.AtSeconds - s.TemperatureAt > bench.Rules.Judgement.GapSeconds)
        {
            RunClosing.Close(bench);
        }
    }

    // Nothing but heat makes a cup warmer: the heater was not turned off for good, or the thermometer had been lifted.
    private static void Resume(in Bench bench, double celsius, double drop)
    {
        var s = bench.State;
        s.CoolsByItself = false;
        PauseSupervision.Forget(bench);
        bench.Find(FindingCodes.HeatingInterrupted, FindingWeight.Doubtful, s.CoolingSince!.Value, celsius, Math.Max(drop, HeatingOffDropCelsius), HeatingOffDropCelsius,
            $"The temperature fell by more than {Text.Celsius(HeatingOffDropCelsius)} and rose again: heating was interrupted, or the thermometer was moved. Applications in between were not judged. The analyst decides whether the run may stand.");
        (s.CoolingSince, s.HighestMeanCelsius) = (null, celsius);
        bench.MoveTo(bench.BetweenApplications);
    }

    /// <summary>A rate that began to fall after the last point, or without one shortly before the end, fell because the heater was turned off: no excursion.</summary>
    public static void ForgiveHeaterOff(in Bench bench)
    {
        var slow = bench.State.RampLedger.Slow;
        var point = (bench.State.Fire ?? bench.State.Flash)?.AtSeconds;
        var lately = bench.State.AtSeconds - slow.Since < RampEstimator.RecordWindowSeconds + 30;
        if (point is { } last ? slow.Since >= last : lately)
        {
            slow.Open = false;
        }
    }

    /// <summary>The determination is over: nothing more is judged while the cup cools.</summary>
    public static void StartCooling(in Bench bench)
    {
        var ramp = bench.Rules.Ramp.ControlledHeatingCelsiusPerMinute;
        CloseExcursion(bench, bench.State.RampLedger.Fast, FindingCodes.RateTooFast, ramp.To);
        ForgiveHeaterOff(bench);
        CloseExcursion(bench, bench.State.RampLedger.Slow, FindingCodes.RateTooSlow, ramp.From);
        bench.Clear(AlarmCodes.HeatingTooFast);
        bench.Clear(AlarmCodes.HeatingTooSlow);
        BenchSupervision.Rest(bench);
        bench.State.CoolingSince = bench.State.AtSeconds;
        bench.MoveTo(RunPhase.Cooling);
    }
}
