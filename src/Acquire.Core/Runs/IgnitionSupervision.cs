using Acquire.Core.Alarms;
using Acquire.Core.Detection;
using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>Turns what the detector watch saw into the observed flash and fire point.</summary>
internal static class IgnitionSupervision
{
    /// <summary>What the alarm of a burning specimen says.</summary>
    public const string BurningText = "The specimen is burning. Keep clear, have the lid ready, follow the method and the local fire rules.";

    /// <summary>What the alarm of an ignition without a flame says.</summary>
    public const string StrayText = "The detector sees an ignition with no test flame over the cup. Look at the cup now.";

    // A detector that shows the burning this many deviations high would not have missed a flash before it.
    private const double ClearDeviations = 30;

    // After the end of a determination, and after a pass, the cup is left alone for so long, s.
    private const double UnhandledSeconds = 10;

    // The stretch of the ramp before an onset that tells where the point should lie, s before it.
    private const double RampBeforeFromSeconds = 32;
    private const double RampBeforeToSeconds = 3;

    // So many standard uncertainties away from where the ramp leads is no chance.
    private const double Deviations = 5;

    public static void Detector(in Bench bench, double seconds, double value)
    {
        var s = bench.State;
        s.DetectorValue = value;
        value = Math.Clamp(value, -RunInput.LargestDetector, RunInput.LargestDetector);
        if (bench.Plan.IsGuided)
        {
            GuidedSupervision.Detector(bench, seconds, value, s.Phase is RunPhase.Ready or RunPhase.Cooling);
            return;
        }

        var signalled = bench.Plan.HasFlameSignal;
        var over = s.Phase == RunPhase.Cooling;

        // Nobody takes hold of a cup as soon as its determination is over, or while the test flame still comes.
        s.LeftAloneSince = over && !s.FlameOver ? s.LeftAloneSince : seconds;
        var handled = over ? seconds - s.LeftAloneSince > UnhandledSeconds : s.Phase == RunPhase.Ready;
        s.Watch.Add(seconds, value, new WatchAsk(bench.Rules.FirePoint.SustainedSeconds, !signalled && InRegion(bench), signalled, handled) { Over = over }, s.Seen);
        Handle(bench, s.Seen);
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

    public static void FlameOn(in Bench bench, double seconds)
    {
        var events = bench.State.Seen;
        bench.State.Watch.FlameOn(seconds, bench.Rules.FirePoint.SustainedSeconds, events);
        Handle(bench, events);
    }

    public static void FlameOff(in Bench bench, double seconds)
    {
        var events = bench.State.Seen;
        bench.State.Watch.FlameOff(seconds, events);
        Handle(bench, events);
    }

    public static void Finish(in Bench bench)
    {
        var events = bench.State.Seen;
        bench.State.Watch.Finish(bench.State.AtSeconds, bench.Rules.FirePoint.SustainedSeconds, events);
        Handle(bench, events);
    }

    private static bool InRegion(in Bench bench) =>
        bench.Searching && (bench.Plan.Scouting || bench.State.TemperatureCelsius >= bench.Rules.SeriesFromCelsius);

    private static void Handle(in Bench bench, List<WatchEvent> events)
    {
        if (events.Count == 0)
        {
            return;
        }

        var all = events.ToArray();
        events.Clear();
        foreach (var seen in all)
        {
            switch (seen)
            {
                case WatchEvent.Judged judged:
                    Judged(bench, judged.Pass, judged.Verdict);
                    break;
                case WatchEvent.PassedOverFire passed:
                    ApplicationSupervision.Judged(bench, passed.Start, passed.End - passed.Start, true, 0, ApplicationEvidence.FlameSignal);
                    break;
                case WatchEvent.Sustained sustained:
                    Sustained(bench, sustained.At, sustained.Onset);
                    break;
                case WatchEvent.WentOut burn:
                    WentOut(bench, burn);
                    break;
                case WatchEvent.Burning:
                    bench.Alarm(AlarmCodes.SpecimenBurning, BurningText);
                    break;
                case WatchEvent.NotBurning:
                    bench.Clear(AlarmCodes.SpecimenBurning);
                    break;
                case WatchEvent.Stray:
                    bench.Alarm(AlarmCodes.IgnitionWithoutFlame, StrayText);
                    break;
                case WatchEvent.StrayLasted stray:
                    Stray(bench, stray.At);
                    break;
                case WatchEvent.StrayEnded:
                    bench.Clear(AlarmCodes.IgnitionWithoutFlame);
                    break;
            }
        }
    }

    private static void Judged(in Bench bench, Pass pass, PassVerdict verdict)
    {
        var s = bench.State;

        // Counting the application below ends its phase, and one far below the schedule falls back to fast heating.
        var searching = bench.Searching;
        if (pass.FlameSeen)
        {
            // Where the flame's position is told only when it changes, a long pass is judged before anything has confirmed it.
            ApplicationSupervision.Confirm(bench, pass.End);
            searching |= bench.Searching;
            ApplicationSupervision.Judged(bench, pass.Start, pass.End - pass.Start, verdict.Flash, verdict.Significance, ApplicationEvidence.FlameSignal, verdict.LeftNothing && s.Flash is null);
        }
        else if (!JudgedByDetector(bench, pass, verdict))
        {
            return;
        }

        if (verdict.Uncertain && s.Flash is null)
        {
            s.Series.Uncertain ??= (pass.Start, s.Ramp.ReadAt(pass.Start) ?? 0, verdict.Significance);
        }

        if (verdict.AtEnd && !verdict.Flash && s.Flash is null)
        {
            s.Series.AtEnd ??= (pass.Start, s.Ramp.ReadAt(pass.Start) ?? 0, pass.Noise.Baseline + verdict.Record.Peak);
            s.Series.AtEndCount++;
        }

        if (!verdict.Flash && s.Flash is null)
        {
            DetectorGap.Look(bench, pass, verdict);
        }

        if (verdict.Flash && s.Flash is null && (searching || bench.Searching))
        {
            Flashed(bench, verdict.OnsetSeconds);
        }
    }

    // Without a flame signal a stir of the detector is an application if it comes where one can be due.
    private static bool JudgedByDetector(in Bench bench, Pass pass, PassVerdict verdict)
    {
        var s = bench.State;
        var interval = bench.Rules.Applications.IntervalCelsius;
        var celsius = s.Ramp.ReadAt(pass.Start) ?? s.TemperatureCelsius ?? 0;
        var last = s.Series.Made.Count > 0 ? s.Series.Made[^1] : null;
        if (!verdict.Flash && (!verdict.Record.Visible || verdict.Width < 0.1))
        {
            return false;
        }

        if (last is { Evidence: ApplicationEvidence.Schedule, Flash: false } && Math.Abs(celsius - last.TemperatureCelsius) <= interval / 2)
        {
            s.Series.Made.RemoveAt(s.Series.Made.Count - 1);
            s.Series.OpenNumber = last.Number;
            s.Series.OpenCelsius = celsius;
            s.Series.OpenUnplaced = last.Unlit;
        }
        else if (!verdict.Flash && s.Series.LastCelsius is { } before && celsius - before < 0.6 * interval)
        {
            return false;
        }
        else if (!verdict.Flash && bench.Plan.Scouting && s.Series.LastCelsius is null && celsius < bench.Rules.FirstApplicationCelsius - interval)
        {
            // Whatever stirs the detector while the cup is put in place is no application.
            return false;
        }
        else
        {
            ApplicationSupervision.Started(bench, pass.Start, celsius, ApplicationEvidence.DetectorSignature);
        }

        ApplicationSupervision.Judged(bench, pass.Start, null, verdict.Flash, verdict.Significance, ApplicationEvidence.DetectorSignature);
        return true;
    }

    /// <summary>The first flash of the run.</summary>
    public static void Flashed(in Bench bench, double onset)
    {
        var s = bench.State;
        var number = s.Series.Made.Count;
        s.Flash = Read(bench, onset, "flash", FindingWeight.Invalid);
        bench.Outputs.Add(new FlashDetected(onset, s.Flash.Celsius, number));
        if (s.Flash.Celsius is { } celsius)
        {
            Series(bench, onset, celsius, number);
        }

        bench.MoveTo(bench.Rules.FirePoint.Determined ? RunPhase.HeatingToFirePoint : RunPhase.Cooling);
        if (s.Phase == RunPhase.Cooling)
        {
            RampSupervision.StartCooling(bench);
        }
    }

    // The temperature of a moment is that of readings around it, never the last one that happened to come.
    private static ObservedPoint Read(in Bench bench, double onset, string what, FindingWeight unread)
    {
        var s = bench.State;
        var limit = bench.Rules.Judgement.GapSeconds;
        var away = s.Ramp.SecondsToNearest(onset);
        var (why, value) = away > limit ? (double.IsFinite(away) ? $"{Text.Seconds(away)} away from the nearest reading of the thermometer (limit {Text.Seconds(limit)})" : "without any reading of the thermometer", away)
            : s.Course.RestsAt(onset, limit) ? ("while the thermometer repeated one value although it used to change", double.NaN)
            : s.Course.IsStepped ? ("after the thermometer had made a step that no specimen can and that no step back has undone", double.NaN)
            : (null, 0);
        if (why is null)
        {
            var celsius = s.Ramp.ReadAt(onset);
            OffRamp(bench, onset, celsius, what);
            return new(onset, celsius);
        }

        bench.Find(FindingCodes.PointNotRead, unread, onset, null, double.IsFinite(value) ? value : null, limit,
            $"The {what} came {why}: its temperature is not known. Mend the thermometer and begin again with a fresh test portion.");
        return new(onset, null);
    }

    // A disturbance too small to be a jump still moves the point: the ramp before the pass tells where it should lie.
    private static void OffRamp(in Bench bench, double onset, double? celsius, string what)
    {
        if (bench.State.Ramp.Between(onset - RampBeforeFromSeconds, onset - RampBeforeToSeconds) is not { } line || celsius is not { } read)
        {
            return;
        }

        var expected = line.At(onset);
        var uncertainty = line.SlopeUncertaintyPerSecond * (onset - line.CentreSeconds);
        var limit = Math.Max(bench.Rules.Judgement.IntervalToleranceCelsius, Deviations * uncertainty);
        if (Math.Abs(read - expected) > limit)
        {
            bench.Find(FindingCodes.PointOffRamp, FindingWeight.Doubtful, onset, read, Math.Abs(read - expected), limit,
                $"At the {what} the thermometer read {Text.Celsius(read)}, where the ramp before it leads to {Text.Celsius(expected)} (limit {Text.Celsius(limit)} apart). Look at the curve: the thermometer was disturbed, or the rate changed at that moment.");
        }
    }

    private static void Series(in Bench bench, double onset, double celsius, int number)
    {
        var s = bench.State;
        if (bench.Plan.Scouting && s.Series.FirstNumber == 0)
        {
            ScoutingSupervision.BeforeHeating(bench, onset, celsius);
        }
        else if (number <= s.Series.FirstNumber || s.Series.FirstNumber == 0)
        {
            EarlyFlash.State(bench, onset, celsius, number);
        }
        else if (s.Series.GapBeforeNewest)
        {
            bench.Find(FindingCodes.ApplicationMissed, FindingWeight.Invalid, onset, celsius, s.Series.RiseBeforeNewest, bench.Rules.Applications.IntervalCelsius,
                "The flash came directly after a left-out application: the true flash point may lie lower. Begin again with a fresh test portion.");
        }

        Window(bench, onset, celsius, number);
    }

    // A flash near the first application had too few before it, one far above too many: the vapour is not what the method reckons with.
    private static void Window(in Bench bench, double onset, double celsius, int number)
    {
        var series = bench.State.Series;
        if (bench.Rules.Applications.FlashWindowAboveFirstCelsius is not { } window || number <= series.FirstNumber
            || series.Made.Find(made => made.Number == series.FirstNumber) is not { } first)
        {
            return;
        }

        var above = celsius - first.TemperatureCelsius;
        if (!window.Contains(above))
        {
            var limit = above < window.From ? window.From : window.To;

            // What lies outside by a hair must not read as the limit itself.
            var told = Text.Celsius(above) == Text.Celsius(limit) ? string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{above:0.000} °C") : Text.Celsius(above);
            bench.Find(FindingCodes.FlashOutsideWindow, FindingWeight.Doubtful, onset, celsius, above, limit,
                $"The flash came {told} above the first application; the method takes {Text.Celsius(window.From)} to {Text.Celsius(window.To)}. The result is approximate: repeat with a fresh test portion and expect {Text.Celsius(celsius)}.");
        }
    }

    /// <summary>The specimen has burned for the method's seconds.</summary>
    public static void Sustained(in Bench bench, double seconds, double onset)
    {
        var s = bench.State;
        if (s.Fire is not null || s.Flash is null || !bench.Rules.FirePoint.Determined)
        {
            return;
        }

        s.Fire = Read(bench, onset, "fire", FindingWeight.Doubtful);
        bench.Outputs.Add(new FireDetected(seconds, onset, s.Fire.Celsius));
        if (s.Flash.AtSeconds >= onset - 0.5)
        {
            var clear = s.Series.Made.Find(made => made.Flash) is { Significance: >= ClearDeviations };
            bench.Find(FindingCodes.FireWithoutFlash, clear ? FindingWeight.Note : FindingWeight.Doubtful, onset, s.Fire.Celsius, s.Fire.Celsius, null,
                $"{(s.Fire.Celsius is { } celsius ? $"At {Text.Celsius(celsius)} the" : "The")} specimen burned on at its first flash. An earlier, fainter flash may have been missed: {(bench.Plan.IsGuided ? "repeat with a fresh test portion" : "look at the detector trace of the applications before")}.");
        }

        RampSupervision.StartCooling(bench);
    }

    private static void WentOut(in Bench bench, WatchEvent.WentOut burn)
    {
        bench.State.LongestBurnSeconds = Math.Max(bench.State.LongestBurnSeconds, burn.BurnedSeconds);
        bench.Clear(AlarmCodes.SpecimenBurning);
        if (!burn.LongEnough && burn.BurnedSeconds > 1)
        {
            bench.Outputs.Add(new BurnEnded(bench.State.AtSeconds, burn.Onset, burn.BurnedSeconds));
        }
    }

    private static void Stray(in Bench bench, double seconds)
    {
        var celsius = bench.State.Ramp.ReadAt(seconds) ?? bench.State.TemperatureCelsius;

        // Before the first application a test flame that is lit or a lamp looks the same: said, and left to whoever was there.
        var weight = bench.State.Series.Made.Count == 0 ? FindingWeight.Note : FindingWeight.Doubtful;
        bench.Find(FindingCodes.IgnitionWithoutFlame, weight, seconds, celsius, null, null,
            "The detector saw an ignition while no test flame was over the cup. Look for a draught, a stray flame or an overheated cup.");
    }
}
