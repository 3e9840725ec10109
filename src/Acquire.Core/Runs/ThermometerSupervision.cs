using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Thermometry;

namespace Acquire.Core.Runs;

/// <summary>Follows what is known against the thermometer's readings: alarms at once, findings at the end.</summary>
internal static class ThermometerSupervision
{
    // A loose contact comes and goes many times a second; its alarm goes once there was peace for this long.
    private const double QuietSeconds = 3;

    // Beyond this share of bad readings the rest is not to be relied on without a look.
    private const double LargestBadShare = 0.3;

    /// <summary>A reading that must not be used.</summary>
    public static void Bad(in Bench bench, double seconds, ReadingMarks marks)
    {
        var s = bench.State;
        s.AtSeconds = Math.Max(s.AtSeconds, seconds);
        var inSeries = InSeries(bench);
        s.Course.Bad(seconds, inSeries);
        foreach (var fault in ThermometerFaults.All)
        {
            if ((marks & fault.Mark) != 0)
            {
                // What is stuck has been so since it last changed.
                var since = fault.Mark == ReadingMarks.Stuck && !double.IsNaN(s.Course.Rhythm.ChangedAt) ? s.Course.Rhythm.ChangedAt : seconds;
                s.Faults.Of(fault).Add(since, seconds, s.TemperatureCelsius, inSeries);
                bench.Alarm(fault.Code, fault.Text);
            }
        }

        Quiet(bench, seconds);
    }

    /// <summary>A reading without a fault of its own; a jump is counted as bad.</summary>
    public static void Read(in Bench bench, in ReadingRow row)
    {
        var inSeries = InSeries(bench);
        if ((row.Marks & ReadingMarks.ImpossibleJump) != 0)
        {
            bench.State.Course.Bad(row.AtSeconds, inSeries);
            return;
        }

        // A time that does not go forward was kept out.
        if (bench.State.TemperatureAt != row.AtSeconds)
        {
            return;
        }

        bench.State.Course.Sound(row.AtSeconds, row.TemperatureCelsius, (row.Marks & ReadingMarks.Resting) != 0, (row.Marks & ReadingMarks.OutsideCalibration) != 0, inSeries);
        if (bench.State.Alarms.Count > 0 && bench.State.Phase != RunPhase.Closed)
        {
            Quiet(bench, row.AtSeconds);
        }
    }

    /// <summary>States what was noticed, and what the certificate says about the figures.</summary>
    public static void Finish(in Bench bench)
    {
        var s = bench.State;
        foreach (var fault in ThermometerFaults.All)
        {
            var seen = s.Faults.Of(fault);
            if (seen.Readings > 0 && fault.Mark != ReadingMarks.ImpossibleJump)
            {
                // Silence and values that cannot be are holes in the record, which have a rule of their own; a broken sensor may have erred before.
                var hole = fault.Mark is ReadingMarks.Stale or ReadingMarks.OutOfRange;
                // Exchanged wires do not come and go: every temperature of the run is wrong.
                var wrong = fault.Mark == ReadingMarks.ReversedPolarity && seen.LongestSeconds > bench.Judgement.GapSeconds;
                var weight = wrong ? FindingWeight.Invalid : seen.InSeries && !hole ? FindingWeight.Doubtful : FindingWeight.Note;
                var times = seen.Readings == 1 ? "one reading" : $"{seen.Readings} readings between {Text.Seconds(seen.FirstSeconds)} and {Text.Seconds(seen.LastSeconds)}";
                bench.Find(fault.Code, weight, seen.FirstSeconds, seen.FirstCelsius, seen.Readings, 0, $"{fault.Text} Marked bad and not used: {times}.");
            }
        }

        Intermittent(bench);
        Calibration(bench);
        if (bench.Plan.TemperaturesAsRead)
        {
            bench.Find(FindingCodes.TemperaturesAsRead, FindingWeight.Note, s.AtSeconds, null, null, null,
                "The temperatures were taken as they stand in the record: the thermometer's certificate and lag were not judged. Give its chain to judge them.");
        }

        if (bench.Plan.Thermometer.Lag is { Correct: true } lag)
        {
            bench.Find(FindingCodes.LagCorrected, FindingWeight.Note, s.AtSeconds, null, lag.TimeConstantSeconds, null,
                $"Temperatures are corrected for a thermometer lag of {Text.Seconds(lag.TimeConstantSeconds)}. The method's precision was found with its own thermometer, lag included: it does not hold for these figures.");
        }
    }

    // What went wrong before the first application was near has spoiled nothing by itself.
    private static bool InSeries(in Bench bench)
    {
        var s = bench.State;
        return bench.Plan.IsEquilibrium ? s.Portions.Portion is { Tested: false }
            : s.TemperatureCelsius >= bench.Rules.FirstApplicationCelsius - bench.Rules.Applications.IntervalCelsius && s.Fire is null && s.Phase != RunPhase.Cooling;
    }

    private static void Quiet(in Bench bench, double seconds)
    {
        foreach (var fault in ThermometerFaults.All)
        {
            var seen = bench.State.Faults.Of(fault);
            if (seen.Readings > 0 && seconds - seen.LastSeconds > QuietSeconds)
            {
                bench.Clear(fault.Code);
            }
        }
    }

    // Readings that come and go leave no hole; those that remain may be as wrong as those that were caught.
    private static void Intermittent(in Bench bench)
    {
        var s = bench.State;
        if (s.Course.WorstShare > LargestBadShare)
        {
            bench.Find(FindingCodes.ThermometerIntermittent, FindingWeight.Doubtful, s.AtSeconds, s.TemperatureCelsius, 100 * s.Course.WorstShare, 100 * LargestBadShare,
                $"Within some ten seconds {100 * s.Course.WorstShare:0} % of the thermometer's readings were bad (limit {100 * LargestBadShare:0} %) where applications were due or near. Mend the thermometer; the analyst decides whether the run may stand.");
        }
    }

    private static void Calibration(in Bench bench)
    {
        var certificate = bench.Plan.Thermometer.Calibration;
        if (certificate is not null)
        {
            Validity(bench, certificate);
        }

        var s = bench.State;
        foreach (var point in new[] { s.Flash ?? Tested(s), s.Fire })
        {
            if (point is { Celsius: { } celsius } && s.Course.OutsideCalibrationAt(point.AtSeconds))
            {
                Outside(bench, point.AtSeconds, celsius, certificate);
            }
        }
    }

    // Where a portion did not flash, its temperature is the answer all the same.
    private static ObservedPoint? Tested(RunState s) => s.Portions.Decisive is { } test ? new(test.AppliedSeconds, test.AppliedCelsius) : null;

    // The span is one of readings; the reading itself told that it was outside, before stem and lag were corrected.
    private static void Outside(in Bench bench, double seconds, double celsius, CalibrationCertificate? certificate)
    {
        var (span, end) = ("", (double?)null);
        if (certificate is not null)
        {
            var (lowest, highest) = (certificate.Points[0].ReadingCelsius, certificate.Points[^1].ReadingCelsius);
            span = $", {Text.Celsius(lowest)} to {Text.Celsius(highest)} (certificate {certificate.Number})";
            end = Math.Abs(celsius - lowest) < Math.Abs(celsius - highest) ? lowest : highest;
        }

        bench.Find(FindingCodes.OutsideCalibration, FindingWeight.Doubtful, seconds, celsius, celsius, end,
            $"{Text.Celsius(celsius)} was read outside the calibrated span of the thermometer{span}; the nearest correction was used. Have the thermometer calibrated there.");
    }

    private static void Validity(in Bench bench, CalibrationCertificate certificate)
    {
        if (bench.Plan.MadeOn is not { } day)
        {
            bench.Find(FindingCodes.CalibrationNotJudged, FindingWeight.Note, bench.State.AtSeconds, null, null, null,
                $"The day of the run is not known, so it was not judged whether the certificate {certificate.Number} was in force (due {Text.Day(certificate.DueOn)}).");
            return;
        }

        var at = bench.State.AtSeconds;
        var (standing, left) = CalibrationCurve.StandingOn(certificate, day);
        switch (standing)
        {
            case CalibrationStanding.Overdue:
                bench.Find(FindingCodes.CalibrationOverdue, FindingWeight.Doubtful, at, null, -left, 0,
                    $"The thermometer's calibration (certificate {certificate.Number}) was due on {Text.Day(certificate.DueOn)}, {Text.Days(-left)} before this run. Have it calibrated; the analyst decides whether the run may stand.");
                break;
            case CalibrationStanding.NotYetValid:
                bench.Find(FindingCodes.CalibrationNotYetValid, FindingWeight.Doubtful, at, null, null, null,
                    $"The certificate {certificate.Number} is dated {Text.Day(certificate.CalibratedOn)}, after this run. Check the date of the certificate and the clock of this computer.");
                break;
            case CalibrationStanding.DueSoon:
                bench.Find(FindingCodes.CalibrationDue, FindingWeight.Note, at, null, left, certificate.WarnDays,
                    $"The thermometer's calibration (certificate {certificate.Number}) is due on {Text.Day(certificate.DueOn)}, in {Text.Days(left)}.");
                break;
            default:
                break;
        }
    }
}
