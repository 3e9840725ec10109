using Acquire.Core.Alarms;
using Acquire.Core.Detection;
using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>Where an equilibrium run learns of an application: from the flame signal and the detector, or from a person.</summary>
internal static class PortionSightings
{
    // A flame signal shorter than this is a contact bouncing, s.
    private const double BounceSeconds = 0.05;

    public static void Flame(in Bench bench, double seconds, bool over)
    {
        var (s, portions) = (bench.State, bench.State.Portions);
        Confirm(bench, seconds);
        if (over == s.FlameOver)
        {
            return;
        }

        s.FlameOver = over;
        if (s.TemperatureCelsius is null)
        {
            return;
        }

        s.Watch.SinglePasses = true;
        if (over)
        {
            portions.PendingFlameAt = seconds;
            s.Watch.FlameOn(seconds, bench.Plan.Method.FirePoint.SustainedSeconds, s.Seen);
            Handle(bench);
        }
        else if (portions.PendingFlameAt is not null)
        {
            portions.PendingFlameAt = null;
            s.Watch.ForgetPass();
        }
        else
        {
            s.Watch.FlameOff(seconds, s.Seen);
            Handle(bench);
        }
    }

    // A flame that is still over the cup, or was until this time, is no bounce but an application.
    private static void Confirm(in Bench bench, double seconds)
    {
        var portions = bench.State.Portions;
        if (portions.PendingFlameAt is { } since && seconds - since >= BounceSeconds)
        {
            portions.PendingFlameAt = null;
            portions.Flame = new(since, PortionApplication.ReadAt(bench, since));
        }
    }

    public static void Detector(in Bench bench, double seconds, double value)
    {
        var s = bench.State;
        s.DetectorValue = value;
        var clamped = Math.Clamp(value, -RunInput.LargestDetector, RunInput.LargestDetector);

        // Between two portions the cup is emptied, cleaned and charged.
        var handled = s.Phase is not (RunPhase.PortionWaiting or RunPhase.ApplyingTestFlame);
        if (bench.Plan.IsGuided)
        {
            GuidedSupervision.Detector(bench, seconds, clamped, handled);
            return;
        }

        s.Watch.SinglePasses = true;
        s.Watch.Add(seconds, clamped, new WatchAsk(bench.Plan.Method.FirePoint.SustainedSeconds, Freely: false, bench.Plan.HasFlameSignal, handled) { Over = s.Phase == RunPhase.Cooling }, s.Seen);
        Handle(bench);
    }

    /// <summary>A reading of the second detector: kept for what the first decides.</summary>
    public static void SecondDetector(in Bench bench, double seconds, double value)
    {
        var s = bench.State;
        s.SecondDetectorValue = value;
        if (!bench.Plan.IsGuided)
        {
            s.Watch.AddSecond(seconds, Math.Clamp(value, -RunInput.LargestDetector, RunInput.LargestDetector));
        }
    }

    /// <summary>The record ends: a pass that is still open is judged with what there is.</summary>
    public static void Finish(in Bench bench)
    {
        bench.State.Watch.Finish(bench.State.AtSeconds, bench.Plan.Method.FirePoint.SustainedSeconds, bench.State.Seen);
        Handle(bench);
    }

    private static void Handle(in Bench bench)
    {
        var s = bench.State;
        if (s.Seen.Count == 0)
        {
            return;
        }

        var all = s.Seen.ToArray();
        s.Seen.Clear();
        foreach (var seen in all)
        {
            switch (seen)
            {
                case WatchEvent.Judged judged:
                    Judged(bench, judged.Pass, judged.Verdict);
                    break;
                case WatchEvent.PassedOverFire passed:
                    PortionApplication.Made(bench, passed.Start, PortionApplication.ReadAt(bench, passed.Start), passed.End - passed.Start, PortionOutcome.Flash, ApplicationEvidence.FlameSignal, 0);
                    break;
                case WatchEvent.WentOut burn:
                    s.LongestBurnSeconds = Math.Max(s.LongestBurnSeconds, burn.BurnedSeconds);
                    bench.Clear(AlarmCodes.SpecimenBurning);
                    break;
                case WatchEvent.Burning:
                    bench.Alarm(AlarmCodes.SpecimenBurning, IgnitionSupervision.BurningText);
                    break;
                case WatchEvent.NotBurning:
                    bench.Clear(AlarmCodes.SpecimenBurning);
                    break;
                case WatchEvent.Stray:
                    bench.Alarm(AlarmCodes.IgnitionWithoutFlame, IgnitionSupervision.StrayText);
                    break;
                case WatchEvent.StrayLasted stray:
                    Stray(bench, stray.At);
                    break;
                case WatchEvent.StrayEnded:
                    bench.Clear(AlarmCodes.IgnitionWithoutFlame);
                    break;
                default:
                    break;
            }
        }
    }

    private static void Judged(in Bench bench, Pass pass, PassVerdict verdict)
    {
        Confirm(bench, pass.End);
        var begun = bench.State.Portions.Flame;
        bench.State.Portions.Flame = null;
        var outcome = verdict.Flash ? PortionOutcome.Flash : verdict.Uncertain || verdict.Sight.Ambiguous ? PortionOutcome.Uncertain : PortionOutcome.NoFlash;
        double? leastTold = outcome == PortionOutcome.NoFlash && !verdict.Sight.Tellable ? verdict.Sight.LeastHeight : null;
        PortionApplication.Made(bench, pass.Start, begun is null ? PortionApplication.ReadAt(bench, pass.Start) : begun.Celsius, pass.End - pass.Start, outcome, ApplicationEvidence.FlameSignal, verdict.Significance, leastTold);
    }

    private static void Stray(in Bench bench, double seconds)
    {
        bench.Find(FindingCodes.IgnitionWithoutFlame, FindingWeight.Doubtful, seconds, bench.State.TemperatureCelsius, null, null,
            "The detector saw an ignition while no test flame was over the cup. Look for a draught, a stray flame or an overheated cup.");
    }

    /// <summary>A person saw something at the cup.</summary>
    public static void Seen(in Bench bench, Sighting seen)
    {
        var (s, guide) = (bench.State, bench.State.Guide);
        if (seen == Sighting.WentOut)
        {
            guide.BurningSince = null;
            bench.Clear(AlarmCodes.SpecimenBurning);
            return;
        }

        // A flash that burns on is keyed in twice, and is one application.
        var burnsOn = seen == Sighting.Burning && s.AtSeconds - guide.FlashedAt <= bench.Plan.Method.FirePoint.SustainedSeconds;
        if (!burnsOn && s.TemperatureCelsius is not null)
        {
            var outcome = seen switch { Sighting.Nothing => PortionOutcome.NoFlash, Sighting.Halo => PortionOutcome.Halo, _ => PortionOutcome.Flash };
            PortionApplication.Made(bench, s.AtSeconds, PortionApplication.ReadAt(bench, s.AtSeconds), null, outcome, ApplicationEvidence.Person, 0);
        }

        guide.FlashedAt = seen == Sighting.Flash ? s.AtSeconds : null;
        if (seen == Sighting.Burning)
        {
            (guide.BurningSince, guide.BurnJudged) = (s.AtSeconds, true);
            bench.Alarm(AlarmCodes.SpecimenBurning, IgnitionSupervision.BurningText);
        }
    }
}
