using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Thermometry;

namespace Acquire.Core.Runs;

/// <summary>Follows what is known against the thermometer's readings: alarms at once, findings at the end.</summary>
internal static class ThermometerSupervision
{
    // A loose contact comes and goes many times a second; its alarm goes once there was peace for this long.
    private const double QuietSeconds = 3;

    /// <summary>A reading that must not be used.</summary>
    public static void Bad(in Bench bench, double seconds, ReadingMarks marks)
    {
        var s = bench.State;
        s.AtSeconds = Math.Max(s.AtSeconds, seconds);
        var inSeries = InSeries(bench);
        foreach (var fault in ThermometerFaults.All)
        {
            if ((marks & fault.Mark) != 0)
            {
                s.Faults.Of(fault).Add(seconds, s.TemperatureCelsius, inSeries);
                bench.Alarm(fault.Code, fault.Text);
            }
        }

        Quiet(bench, seconds);
    }

    /// <summary>A reading that may be used.</summary>
    public static void Sound(in Bench bench, double seconds, ReadingMarks marks)
    {
        if ((marks & ReadingMarks.OutsideCalibration) != 0)
        {
            bench.State.Faults.OutsideCalibration++;
        }

        if (bench.State.Alarms.Count > 0 && bench.State.Phase != RunPhase.Closed)
        {
            Quiet(bench, seconds);
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
                var wrong = fault.Mark == ReadingMarks.ReversedPolarity && seen.LastSeconds - seen.FirstSeconds > bench.Rules.Judgement.GapSeconds;
                var weight = wrong ? FindingWeight.Invalid : seen.InSeries && !hole ? FindingWeight.Doubtful : FindingWeight.Note;
                var times = seen.Readings == 1 ? "one reading" : $"{seen.Readings} readings between {Text.Seconds(seen.FirstSeconds)} and {Text.Seconds(seen.LastSeconds)}";
                bench.Find(fault.Code, weight, seen.FirstSeconds, seen.FirstCelsius, seen.Readings, 0, $"{fault.Text} Marked bad and not used: {times}.");
            }
        }

        Calibration(bench);
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
        return s.TemperatureCelsius >= bench.Rules.FirstApplicationCelsius - bench.Rules.Applications.IntervalCelsius && s.Fire is null && s.Phase != RunPhase.Cooling;
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

    private static void Calibration(in Bench bench)
    {
        if (bench.Plan.Thermometer.Calibration is not { } certificate)
        {
            return;
        }

        Validity(bench, certificate);
        var s = bench.State;
        var (lowest, highest) = (certificate.Points[0].ReadingCelsius, certificate.Points[^1].ReadingCelsius);
        foreach (var point in new[] { s.Flash, s.Fire })
        {
            if (point is { Celsius: { } celsius } && s.Faults.OutsideCalibration > 0 && !Covers(certificate, celsius))
            {
                bench.Find(FindingCodes.OutsideCalibration, FindingWeight.Doubtful, point.AtSeconds, celsius, celsius, celsius < lowest ? lowest : highest,
                    $"{Text.Celsius(celsius)} was read outside the calibrated span of the thermometer, {Text.Celsius(lowest)} to {Text.Celsius(highest)} (certificate {certificate.Number}); the nearest correction was used. Have the thermometer calibrated there.");
            }
        }
    }

    // The span is one of readings, the point is a corrected temperature: compared after its own correction.
    private static bool Covers(CalibrationCertificate certificate, double celsius)
    {
        var (first, last) = (certificate.Points[0], certificate.Points[^1]);
        return celsius >= first.ReadingCelsius + first.CorrectionCelsius && celsius <= last.ReadingCelsius + last.CorrectionCelsius;
    }

    private static void Validity(in Bench bench, CalibrationCertificate certificate)
    {
        if (bench.Plan.MadeOn is not { } day)
        {
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
