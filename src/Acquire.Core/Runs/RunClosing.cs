using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>Closes a run: the last findings, the corrections, the verdict.</summary>
internal static class RunClosing
{
    public static void Close(in Bench bench)
    {
        var s = bench.State;
        if (s.Phase == RunPhase.Closed)
        {
            return;
        }

        if (bench.Plan.IsEquilibrium)
        {
            PortionSightings.Finish(bench);
            PortionClosing.Missing(bench);
        }
        else if (!EndRamp(bench))
        {
            return;
        }

        Unconfirmed(bench);
        Inputs(bench);
        DetectorSelfCheck.Finish(bench);
        SecondDetectorSilence.Finish(bench);
        ThermometerSupervision.Finish(bench);
        if (!bench.Plan.IsEquilibrium)
        {
            BenchSupervision.Finish(bench);
        }

        var pressure = bench.Plan.StationPressureKilopascals ?? bench.Plan.Method.Barometric.StandardKilopascals;
        Pressure(bench, pressure);
        Scope(bench, pressure);
        FireScope(bench, pressure);
        var next = ScoutingSupervision.Finish(bench);
        foreach (var alarm in s.Alarms.ToArray())
        {
            bench.Clear(alarm);
        }

        var verdict = Judge(s.Findings);
        s.Result = new RunResult(verdict, Point(bench, s.Flash, pressure, verdict, null), Point(bench, s.Fire, pressure, verdict, bench.Plan.Method.FirePoint.HighestCelsius), pressure, [.. s.Series.Made], [.. s.Findings])
        {
            Next = next,
            DetectorCheck = s.Watch.Check,
            Equilibrium = bench.Plan.IsEquilibrium ? PortionClosing.Result(bench, pressure, verdict) : null,
        };
        bench.MoveTo(RunPhase.Closed);
        bench.Outputs.Add(new RunClosed(s.AtSeconds, s.Result));
    }

    // False where judging the last pass has closed the run already.
    private static bool EndRamp(in Bench bench)
    {
        var s = bench.State;
        GuidedSupervision.Pass(bench);
        IgnitionSupervision.Finish(bench);
        if (s.Phase == RunPhase.Closed)
        {
            return false;
        }

        var ramp = bench.Rules.Ramp.ControlledHeatingCelsiusPerMinute;
        var fast = s.RampLedger.ControlledSince is null ? bench.Rules.Ramp.FastHeatingCelsiusPerMinute ?? ramp : ramp;
        RampSupervision.CloseExcursion(bench, s.RampLedger.Fast, FindingCodes.RateTooFast, fast.To);
        if (s.Flash is not null)
        {
            RampSupervision.ForgiveHeaterOff(bench);
        }

        RampSupervision.CloseExcursion(bench, s.RampLedger.Slow, FindingCodes.RateTooSlow, ramp.From);
        RampSupervision.Silent(bench);
        PauseSupervision.Finish(bench);
        Missing(bench);
        return true;
    }

    /// <summary>The heaviest finding decides.</summary>
    public static Verdict Judge(IEnumerable<Finding> findings) => findings.Select(finding => finding.Weight).DefaultIfEmpty().Max() switch
    {
        FindingWeight.Invalid => Verdict.Invalid,
        FindingWeight.Doubtful => Verdict.Doubtful,
        _ => Verdict.Valid,
    };

    // An invalid run, a scouting run and a point above all that the method is written for have figures to learn from, but none to report.
    private static DeterminedPoint? Point(in Bench bench, ObservedPoint? observed, double pressure, Verdict verdict, double? highest)
    {
        if (observed?.Celsius is not { } celsius)
        {
            return null;
        }

        var corrected = BarometricCorrection.Correct(celsius, pressure, bench.Plan.Method.Barometric);
        double? reported = verdict == Verdict.Invalid || bench.Plan.Scouting || corrected > highest ? null : Rounding.Round(corrected, bench.Plan.Method.Rounding);
        return new DeterminedPoint(celsius, corrected, reported, observed.AtSeconds);
    }

    private static void Missing(in Bench bench)
    {
        var s = bench.State;
        double? highest = double.IsFinite(s.HighestCelsius) ? s.HighestCelsius : null;
        if (s.Flash is null)
        {
            var reached = highest is { } top ? Text.Celsius(top) : "no temperature at all";
            bench.Find(FindingCodes.NoFlash, FindingWeight.Invalid, s.AtSeconds, s.TemperatureCelsius, highest, null,
                $"No flash up to {reached}. {(bench.Plan.Scouting ? "The flash point lies above it, or was missed: check" : "Expect a higher flash point, check")} detector and test flame, and begin again with a fresh test portion.");
            if (s.Series.Uncertain is { } seen)
            {
                bench.Find(FindingCodes.FlashUncertain, FindingWeight.Doubtful, seen.AtSeconds, seen.Celsius, seen.Significance, null,
                    $"At {Text.Celsius(seen.Celsius)} the detector saw more than before, but as slow as a halo. Look at the trace.");
            }
        }
        else if (bench.Rules.FirePoint.Determined && s.Fire is null)
        {
            NoFire(bench);
        }
    }

    private static void NoFire(in Bench bench)
    {
        var s = bench.State;
        var needed = bench.Rules.FirePoint.SustainedSeconds;
        if (s.BurnedSeconds is { } burned and > 1 && s.Watch.Burn?.IsOut(s.AtSeconds) is not true)
        {
            bench.Find(FindingCodes.EndedWhileBurning, FindingWeight.Note, s.AtSeconds, s.TemperatureCelsius, burned, needed,
                $"The record ends while the specimen has burned for {Text.Seconds(burned)}; a fire point needs {Text.Seconds(needed)}.");
            return;
        }

        bench.Find(FindingCodes.NoFirePoint, FindingWeight.Note, s.AtSeconds, s.TemperatureCelsius, s.LongestBurnSeconds, needed,
            $"No fire point: the longest burn lasted {Text.Seconds(s.LongestBurnSeconds)}, {Text.Seconds(needed)} are needed.");
    }

    private static void Unconfirmed(in Bench bench)
    {
        var s = bench.State;
        var unseen = s.Series.Made.Count(made => made is { Evidence: ApplicationEvidence.Schedule, Unlit: false });
        if (unseen > 0)
        {
            bench.Find(FindingCodes.ApplicationUnconfirmed, FindingWeight.Note, s.AtSeconds, s.TemperatureCelsius, unseen, 0,
                $"Nothing tells that {unseen} of {s.Series.Made.Count} applications were really made: no flame signal, and nothing to be seen in the detector. The operator vouches for them.");
        }
    }

    private static void Inputs(in Bench bench)
    {
        var s = bench.State;
        if (!s.Watch.EverMoved && !bench.Plan.IsGuided)
        {
            bench.Find(FindingCodes.DetectorDead, FindingWeight.Invalid, s.AtSeconds, s.TemperatureCelsius, s.DetectorValue, null,
                s.Watch.EverRead ? "The detector gave the same value all along. Check its supply and its wire." : "The detector sent nothing. Check its channel in the configuration.");
        }

        if (s.NotForward > 0)
        {
            bench.Find(FindingCodes.TimeNotForward, FindingWeight.Note, s.AtSeconds, s.TemperatureCelsius, s.NotForward, 0,
                $"{s.NotForward} readings carried a time that does not go forward and were kept out.");
        }

        if (s.Gate.KeptOut > 0)
        {
            bench.Find(FindingCodes.TemperatureJump, s.Gate.Steps > 0 ? FindingWeight.Doubtful : FindingWeight.Note, s.AtSeconds, s.TemperatureCelsius, s.Gate.KeptOut, 0,
                $"{s.Gate.KeptOut} thermometer readings jumped in a way no specimen can and were kept out{(s.Gate.Steps > 0 ? "; a step that lasted was taken as real" : "")}. Check the thermometer's connection.");
        }
    }

    private static void Pressure(in Bench bench, double pressure)
    {
        var s = bench.State;
        var rule = bench.Plan.Method.Barometric;
        if (bench.Plan.StationPressureKilopascals is null)
        {
            bench.Find(FindingCodes.PressureAssumed, FindingWeight.Note, s.AtSeconds, null, pressure, null,
                $"Nobody gave the station pressure{(bench.Plan.Barometer is { NotUsed: { } why } barometer ? $", and that of \"{barometer.Source}\" was not used because {why}" : "")}; {Text.Kilopascals(pressure)} was assumed, so nothing was corrected. Read the barometer before the figure is reported.");
        }
        else if (!rule.StrictKilopascals.Contains(pressure))
        {
            var limit = pressure < rule.StrictKilopascals.From ? rule.StrictKilopascals.From : rule.StrictKilopascals.To;
            bench.Find(FindingCodes.PressureOutsideRange, FindingWeight.Note, s.AtSeconds, null, pressure, limit,
                $"The correction was used at {Text.Kilopascals(pressure)}; its standard vouches for {Text.Kilopascals(rule.StrictKilopascals.From)} to {Text.Kilopascals(rule.StrictKilopascals.To)}.");
        }
    }

    private static void Scope(in Bench bench, double pressure)
    {
        var scope = bench.Plan.Method.FlashScopeCelsius;
        if (bench.State.Flash is not { Celsius: { } celsius } flash)
        {
            return;
        }

        var corrected = BarometricCorrection.Correct(celsius, pressure, bench.Plan.Method.Barometric);
        if (!scope.Contains(corrected))
        {
            var limit = corrected < scope.From ? scope.From : scope.To;
            bench.Find(FindingCodes.OutsideScope, FindingWeight.Doubtful, flash.AtSeconds, celsius, corrected, limit,
                $"A flash point of {Text.Celsius(corrected)} lies outside the method's scope, {Text.Celsius(scope.From)} to {Text.Celsius(scope.To)}. Choose a method that covers it.");
        }
    }

    // Says nothing against the flash point, so the verdict stays.
    private static void FireScope(in Bench bench, double pressure)
    {
        if (bench.Plan.Method.FirePoint.HighestCelsius is not { } highest || bench.State.Fire is not { Celsius: { } celsius } fire)
        {
            return;
        }

        var corrected = BarometricCorrection.Correct(celsius, pressure, bench.Plan.Method.Barometric);
        if (corrected > highest)
        {
            bench.Find(FindingCodes.OutsideScope, FindingWeight.Note, fire.AtSeconds, celsius, corrected, highest,
                $"A fire point of {Text.Celsius(corrected)} lies above {Text.Celsius(highest)}, up to which the method is written: it is not reported. Report the flash point alone, or choose a method that covers both.");
        }
    }
}
