using Acquire.Core.Alarms;
using Acquire.Core.Detection;

namespace Acquire.Core.Runs;

/// <summary>Leads a person through the applications and takes what was seen for what happened.</summary>
/// <remarks>
/// The press of a key comes after the sight, and is taken as the time of the sight: nothing is subtracted for the person's
/// reaction, because nobody has measured it.
/// </remarks>
internal static class GuidedSupervision
{
    // Whoever follows a prompt at once must not be told of an early application, noise of the thermometer included: common practice, no source.
    private const double ShareOfTolerance = 0.75;

    /// <summary>Asks for the next application once its temperature is near.</summary>
    public static void Ask(in Bench bench, double celsius)
    {
        var s = bench.State;
        var due = s.Series.NextDueCelsius;
        if (s.Guide.PromptedCelsius == due || celsius < due - LeadCelsius(bench))
        {
            return;
        }

        var prompt = new DuePrompt(s.Series.Made.Count + 1, due);
        (s.Guide.Prompt, s.Guide.PromptedCelsius) = (prompt, due);
        bench.Outputs.Add(new ApplicationPrompted(s.AtSeconds, prompt.Number, due));
    }

    private static double LeadCelsius(in Bench bench)
    {
        var slope = bench.State.Ramp.Fit(RampEstimator.WarningWindowSeconds, double.NegativeInfinity)?.SlopePerSecond ?? 0;
        return Math.Clamp(slope * bench.Plan.PromptLeadSeconds, 0, ShareOfTolerance * bench.Rules.Judgement.IntervalToleranceCelsius);
    }

    /// <summary>A person saw something. It is stated as it came, whatever becomes of it.</summary>
    public static void Observe(in Bench bench, double seconds, Sighting seen, string? person)
    {
        var s = bench.State;
        s.Withdrawable = null;
        var before = RunSnapshot.Save(s);

        // Nobody sees what comes before what has been read or seen already.
        s.AtSeconds = Math.Max(s.AtSeconds, seconds);
        bench.Outputs.Add(new ObservationMade(s.AtSeconds, s.Guide.ReadingSeconds, seen, person));
        Pass(bench);
        if (bench.Plan.IsEquilibrium)
        {
            PortionSightings.Seen(bench, seen);
        }
        else if (seen == Sighting.WentOut)
        {
            WentOut(bench);
        }
        else if (s.Guide.BurningSince is null && s.TemperatureCelsius is { } newest)
        {
            Applied(bench, s.Ramp.ReadAt(s.AtSeconds) ?? newest, seen);
        }

        s.Withdrawable = new() { Before = before, AtSeconds = s.AtSeconds, Seen = seen };
    }

    // What is seen after the determination is recorded; only burning still matters, to whoever stands near.
    private static void Applied(in Bench bench, double celsius, Sighting seen)
    {
        var s = bench.State;
        var (at, heating) = (s.AtSeconds, s.Fire is null && s.Phase != RunPhase.Cooling);

        // A flash that burns on is keyed in twice, and is one application.
        var burnsOn = seen == Sighting.Burning && at - s.Guide.FlashedAt <= bench.Rules.FirePoint.SustainedSeconds ? s.Guide.FlashedAt : null;
        s.Guide.FlashedAt = heating && seen == Sighting.Flash ? at : null;
        if (heating && burnsOn is null)
        {
            var flash = seen is Sighting.Flash or Sighting.Burning;
            ApplicationSupervision.Started(bench, at, celsius, ApplicationEvidence.Person);
            ApplicationSupervision.Judged(bench, at, null, flash, 0, ApplicationEvidence.Person);

            // What was asked for has been done; with a flame that was out it is asked for again at once.
            (s.Guide.Prompt, s.Guide.PromptedCelsius) = (null, s.Series.Made[^1].Unlit ? null : s.Guide.PromptedCelsius);
            if (flash && s.Flash is null)
            {
                IgnitionSupervision.Flashed(bench, at);
            }
        }

        if (seen == Sighting.Burning)
        {
            (s.Guide.BurningSince, s.Guide.BurnJudged, s.Guide.BurnUnseen) = (burnsOn ?? at, !heating, false);
            bench.Alarm(AlarmCodes.SpecimenBurning, IgnitionSupervision.BurningText);
        }
    }

    /// <summary>A detector beside a person who judges: it says nothing of passes, and raises an alarm at what lasts longer than any.</summary>
    public static void Detector(in Bench bench, double seconds, double value, bool handled)
    {
        var s = bench.State;
        s.Watch.AddUnjudged(seconds, value, new WatchAsk(double.PositiveInfinity, Freely: false, Signalled: false, handled) { Over = s.Phase == RunPhase.Cooling }, s.Seen);
        if (s.Seen.Count == 0)
        {
            return;
        }

        foreach (var seen in s.Seen)
        {
            if (seen is WatchEvent.StrayEnded)
            {
                bench.Clear(AlarmCodes.IgnitionWithoutFlame);
            }
            else if (seen is WatchEvent.Stray && s.Guide.BurningSince is null)
            {
                // Whoever has keyed in that it burns knows.
                bench.Alarm(AlarmCodes.IgnitionWithoutFlame, IgnitionSupervision.StrayText);
            }
        }

        s.Seen.Clear();
    }

    /// <summary>Time has passed: has the specimen burned for the method's seconds?</summary>
    public static void Pass(in Bench bench)
    {
        var (s, guide) = (bench.State, bench.State.Guide);
        if (guide is { BurningSince: { } since, BurnJudged: false } && s.AtSeconds - since >= bench.Rules.FirePoint.SustainedSeconds)
        {
            guide.BurnJudged = true;
            IgnitionSupervision.Sustained(bench, s.AtSeconds, since);
        }
    }

    private static void WentOut(in Bench bench)
    {
        var (s, guide) = (bench.State, bench.State.Guide);
        if (guide.BurningSince is not { } since)
        {
            return;
        }

        var burned = s.AtSeconds - since;
        guide.BurningSince = null;
        bench.Clear(AlarmCodes.SpecimenBurning);
        if (guide.BurnUnseen)
        {
            guide.BurnUnseen = false;
            return;
        }

        s.LongestBurnSeconds = Math.Max(s.LongestBurnSeconds, burned);
        if (burned < bench.Rules.FirePoint.SustainedSeconds)
        {
            bench.Outputs.Add(new BurnEnded(s.AtSeconds, since, burned));
        }
    }
}
