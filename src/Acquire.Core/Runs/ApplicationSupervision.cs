using Acquire.Core.Detection;
using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>Follows the test flame: when it is due, when it came, and whether the series has holes.</summary>
internal static class ApplicationSupervision
{
    // A flame signal shorter than this is a contact bouncing, s.
    private const double BounceSeconds = 0.05;

    // Passes this many idle deviations high are never overlooked, so that a pass not seen was not made.

    // A flash below this many deviations is faint.
    private const double FaintDeviations = 12;

    public static void Flame(in Bench bench, double seconds, bool over)
    {
        var s = bench.State;
        if (over == s.FlameOver)
        {
            Confirm(bench, seconds);
            return;
        }

        s.FlameOver = over;
        if (s.TemperatureCelsius is null)
        {
            // Before the thermometer has spoken there is no temperature at which the flame could have been applied.
            return;
        }

        if (over)
        {
            s.Series.PendingFlameAt = seconds;
            IgnitionSupervision.FlameOn(bench, seconds);
            return;
        }

        Confirm(bench, seconds);
        if (s.Series.PendingFlameAt is not null)
        {
            s.Series.PendingFlameAt = null;
            s.Watch.ForgetPass();
            return;
        }

        IgnitionSupervision.FlameOff(bench, seconds);
    }

    /// <summary>A flame that is still over the cup, or was until this time, is no bounce but an application.</summary>
    public static void Confirm(in Bench bench, double seconds)
    {
        var s = bench.State;
        if (s.Series.PendingFlameAt is { } since && seconds - since >= BounceSeconds)
        {
            s.Series.PendingFlameAt = null;
            Started(bench, since, s.Ramp.ReadAt(since) ?? s.TemperatureCelsius ?? 0, ApplicationEvidence.FlameSignal);
        }
    }

    /// <summary>An application began: checks its place in the series.</summary>
    public static void Started(in Bench bench, double seconds, double celsius, ApplicationEvidence evidence)
    {
        var s = bench.State;
        var series = s.Series;
        series.OpenNumber = series.Made.Count + 1;
        series.OpenCelsius = celsius;
        bench.Outputs.Add(new ApplicationStarted(seconds, series.OpenNumber.Value, celsius, evidence));
        if (s.Fire is null && s.Phase is not (RunPhase.Cooling or RunPhase.Closed))
        {
            bench.MoveTo(RunPhase.ApplyingTestFlame);
            series.OpenUnplaced = TestFlameSupervision.IsOut(bench);
            if (!series.OpenUnplaced)
            {
                Place(bench, seconds, celsius);
            }
        }
    }

    private static void Place(in Bench bench, double seconds, double celsius)
    {
        var series = bench.State.Series;
        var rules = bench.Rules.Applications;
        var tolerance = bench.Rules.Judgement.IntervalToleranceCelsius;
        if (series.LastCelsius is null)
        {
            // Passes far below the schedule, such as a check for volatile contamination, do not open the series. One that was asked for does.
            var before = celsius < bench.Rules.SeriesFromCelsius || (bench.Plan.Scouting && !bench.State.Scouting.Begun);
            if (before && bench.State.Guide.Prompt is null)
            {
                return;
            }

            series.FirstNumber = series.OpenNumber!.Value;
            series.RiseBeforeNewest = null;
            First(bench, seconds, celsius);
        }
        else
        {
            series.RiseBeforeNewest = celsius - series.LastCelsius.Value;
            Interval(bench, seconds, celsius, series.RiseBeforeNewest.Value, rules.IntervalCelsius, tolerance);
        }

        series.LastCelsius = celsius;
        if (bench.Plan.Scouting)
        {
            bench.State.Scouting.Reach(celsius);
        }

        var next = celsius + bench.Rules.Applications.IntervalCelsius;
        series.NextDueCelsius = bench.Plan.IsGuided || bench.Plan.Scouting ? next : Math.Max(next, bench.Rules.FirstApplicationCelsius);
        series.DueCrossedAt = null;
        series.GapFound = false;
    }

    private static void First(in Bench bench, double seconds, double celsius)
    {
        if (bench.Plan.Scouting)
        {
            ScoutingSupervision.First(bench, seconds, celsius);
            return;
        }

        var latest = LatestFirst(bench);
        if (celsius > latest + bench.Rules.Judgement.IntervalToleranceCelsius)
        {
            bench.Find(FindingCodes.FirstApplicationLate, FindingWeight.Doubtful, seconds, celsius, celsius, latest,
                $"The first application came at {Text.Celsius(celsius)}; the method wants it at or below {Text.Celsius(latest)}.");
        }
    }

    private static void Interval(in Bench bench, double seconds, double celsius, double rise, double interval, double tolerance)
    {
        var series = bench.State.Series;
        series.GapBeforeNewest = rise > MissedRise(interval);
        if (series.GapBeforeNewest && OpensAgain(bench, celsius))
        {
            series.GapBeforeNewest = false;
            series.FirstNumber = series.OpenNumber!.Value;
        }
        else if (series.GapBeforeNewest && !series.GapFound)
        {
            Missed(bench, seconds, celsius, rise, interval);
        }
        else if (rise > interval + tolerance && !series.GapFound && (bench.Plan.IsGuided || bench.Plan.HasFlameSignal || bench.State.Watch.Memory.Clarity > PassJudge.ClearPass))
        {
            bench.Find(FindingCodes.ApplicationLate, FindingWeight.Doubtful, seconds, celsius, rise, interval,
                $"The specimen rose by {Text.Celsius(rise)} between two applications; the interval is {Text.Celsius(interval)}.");
        }
        else if (rise < interval - tolerance)
        {
            bench.Find(FindingCodes.ApplicationEarly, FindingWeight.Note, seconds, celsius, rise, interval,
                $"The specimen rose by only {Text.Celsius(rise)} between two applications; the interval is {Text.Celsius(interval)}. Frequent passes thin the vapour.");
        }
    }

    // Until the first application is due at the latest, passes may have been checks, such as one at every 10 °C on the way up: the series opens with the newest.
    private static bool OpensAgain(in Bench bench, double celsius) =>
        celsius <= LatestFirst(bench) + bench.Rules.Judgement.IntervalToleranceCelsius && !bench.State.Series.Made.Exists(made => made.Flash);

    // A scouting run may begin its series as far above the start as it likes.
    private static bool HasToBegin(in Bench bench) => !bench.Plan.Scouting || bench.State.Series.LastCelsius is not null;

    private static double LatestFirst(in Bench bench) => bench.Rules.FirstAtLatestCelsius ?? bench.Rules.FirstApplicationCelsius;

    private static double MissedRise(double interval) => 1.75 * interval;

    private static void Missed(in Bench bench, double seconds, double celsius, double rise, double interval) =>
        bench.Find(FindingCodes.ApplicationMissed, FindingWeight.Doubtful, seconds, celsius, rise, interval,
            $"At least one application was left out: {Text.Celsius(rise)} without one, the interval is {Text.Celsius(interval)}.");

    /// <summary>The ramp has moved on: was an application due that did not come?</summary>
    public static void Due(in Bench bench)
    {
        var s = bench.State;
        // Where one rate holds from the start, a thermometer may still be on its way into a cooled specimen: nothing is due before the rate has settled.
        var begun = bench.Plan.Scouting ? s.Scouting.Begun : !bench.Rules.Ramp.IsConstant || s.RampLedger.ControlledSince is not null;
        if (!begun || !bench.Searching || s.Series.OpenNumber is not null || s.BurningSince is not null || s.TemperatureCelsius is not { } newest)
        {
            return;
        }

        // A noisy thermometer crosses every temperature before the specimen does.
        var celsius = s.Ramp.Fit(Detection.RampEstimator.WarningWindowSeconds, double.NegativeInfinity)?.At(s.Ramp.NewestSeconds) ?? newest;

        var series = s.Series;
        if (celsius >= series.NextDueCelsius)
        {
            series.DueCrossedAt ??= s.Ramp.NewestSeconds;
        }

        if (bench.Plan.IsGuided)
        {
            DueBySignal(bench, celsius);
            GuidedSupervision.Ask(bench, celsius);
        }
        else if (bench.Plan.HasFlameSignal)
        {
            DueBySignal(bench, celsius);
        }
        else if (celsius >= series.NextDueCelsius + (bench.Rules.Applications.IntervalCelsius / 2) && !s.Watch.Looking)
        {
            DueBySchedule(bench);
        }
    }

    private static void DueBySignal(in Bench bench, double celsius)
    {
        var series = bench.State.Series;
        var rules = bench.Rules.Applications;
        var begins = LatestFirst(bench) - rules.IntervalCelsius;
        var last = Math.Max(series.LastCelsius ?? begins, begins);

        // After the flash the analyst may stop heating; a hole then counts only once an application follows it.
        if (bench.State.Flash is null && !series.GapFound && HasToBegin(bench) && celsius - last > MissedRise(rules.IntervalCelsius))
        {
            series.GapFound = true;
            Missed(bench, bench.State.AtSeconds, celsius, celsius - last, rules.IntervalCelsius);
        }
    }

    // Nothing tells when the flame came. Where earlier passes were seen, a pass that was not seen was not made.
    private static void DueBySchedule(in Bench bench)
    {
        var s = bench.State;
        var due = s.Series.NextDueCelsius;
        var interval = bench.Rules.Applications.IntervalCelsius;
        if (s.Watch.Memory.VisibleCount >= 2 && s.Watch.Memory.Clarity > PassJudge.ClearPass)
        {
            var rise = s.TemperatureCelsius!.Value - Math.Max(s.Series.LastCelsius ?? double.NegativeInfinity, LatestFirst(bench) - interval);
            if (s.Flash is null && !s.Series.GapFound && HasToBegin(bench) && rise > MissedRise(interval))
            {
                s.Series.GapFound = true;
                Missed(bench, s.AtSeconds, s.TemperatureCelsius!.Value, rise, interval);
            }

            return;
        }

        var at = s.Series.DueCrossedAt ?? s.AtSeconds;
        Started(bench, at, due, ApplicationEvidence.Schedule);
        Judged(bench, at, null, false, 0, ApplicationEvidence.Schedule);
    }

    /// <summary>The open application has been judged.</summary>
    public static void Judged(in Bench bench, double startSeconds, double? durationSeconds, bool flash, double significance, ApplicationEvidence evidence, bool leftNothing = false)
    {
        var s = bench.State;
        var series = s.Series;
        if (series.OpenNumber is not { } number)
        {
            return;
        }

        var end = startSeconds + (durationSeconds ?? bench.Rules.Applications.PassSeconds);
        var wasOut = TestFlameSupervision.WasOut(bench, evidence, startSeconds, end) || leftNothing;
        var application = new Application(number, startSeconds, series.OpenCelsius, durationSeconds, evidence, flash, significance) { Unlit = wasOut && !flash };
        Settle(bench, application, wasOut, leftNothing);
        series.Made.Add(application);
        series.OpenNumber = null;
        bench.Outputs.Add(new ApplicationJudged(s.AtSeconds, application));
        BenchSupervision.Applied(bench, application, end);
        if (s.Fire is null && durationSeconds is { } seconds)
        {
            Duration(bench, startSeconds, seconds);
        }

        Repetition(bench, application);
        if (s.Phase == RunPhase.ApplyingTestFlame)
        {
            bench.MoveTo(bench.BetweenApplications);
        }
    }

    // One with a test flame that was out is told, and leaves its place in the series open.
    private static void Settle(in Bench bench, Application application, bool wasOut, bool leftNothing)
    {
        var (s, series) = (bench.State, bench.State.Series);
        var counts = s.Fire is null && s.Phase is not (RunPhase.Cooling or RunPhase.Closed);
        var unplaced = series.OpenUnplaced;
        if (unplaced && !application.Unlit && counts)
        {
            Place(bench, application.TimeSeconds, application.TemperatureCelsius);
        }

        series.OpenUnplaced = false;
        if (wasOut && counts && application.Flash)
        {
            TestFlameSupervision.Contradicted(bench, application.TimeSeconds, application.TemperatureCelsius);
        }
        else if (wasOut && counts)
        {
            TestFlameSupervision.Void(bench, application.TimeSeconds, application.TemperatureCelsius, leftNothing);
            if (leftNothing && !unplaced && series.RiseBeforeNewest is { } rise && application.Number != series.FirstNumber)
            {
                // It took its place before anybody knew: the next one is counted from the one before it.
                series.LastCelsius -= rise;
            }

            if (application.Evidence == ApplicationEvidence.Schedule)
            {
                (series.NextDueCelsius, series.DueCrossedAt) = (application.TemperatureCelsius + bench.Rules.Applications.IntervalCelsius, null);
            }
        }
    }

    private static void Duration(in Bench bench, double startSeconds, double seconds)
    {
        var (rules, celsius) = (bench.Rules.Applications, bench.State.Series.OpenCelsius);
        if (seconds > rules.LongestPassSeconds + BounceSeconds)
        {
            bench.Find(FindingCodes.ApplicationTooLong, FindingWeight.Doubtful, startSeconds, celsius, seconds, rules.LongestPassSeconds,
                $"The test flame stayed over the cup for {Text.Seconds(seconds)}; about {Text.Seconds(rules.PassSeconds)} is meant, {Text.Seconds(rules.LongestPassSeconds)} at most.");
        }
        else if (rules.ShortestPassSeconds is { } shortest && seconds < shortest - BounceSeconds)
        {
            bench.Find(FindingCodes.ApplicationTooShort, FindingWeight.Doubtful, startSeconds, celsius, seconds, shortest,
                $"The test flame was applied for only {Text.Seconds(seconds)}; about {Text.Seconds(rules.PassSeconds)} is meant, {Text.Seconds(shortest)} at least: a flash may not have had the time to start.");
        }
    }

    // Above the flash point every application flashes. A faint flash that the next one does not repeat may have been noise;
    // a strong one may have been light ends that are now gone.
    private static void Repetition(in Bench bench, Application application)
    {
        var s = bench.State;
        if (s.Flash is null || s.Fire is not null || s.Series.Repeated || application.Unlit)
        {
            return;
        }

        s.Series.Repeated = true;
        if (!application.Flash)
        {
            var faint = s.Series.Made.Find(made => made.Flash) is { Significance: < FaintDeviations };
            var advice = bench.Plan.IsGuided
                ? "The first may have been a halo, a wrong key, or light ends that burned off. Repeat with a fresh test portion."
                : "Look at the trace: the first may have been a disturbance, or light ends that burned off.";
            bench.Find(FindingCodes.FlashNotRepeated, faint ? FindingWeight.Doubtful : FindingWeight.Note, application.TimeSeconds, application.TemperatureCelsius, null, null,
                $"The application after the flash, at {Text.Celsius(application.TemperatureCelsius)}, did not flash. {advice}");
        }
    }
}
