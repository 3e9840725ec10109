using System.Globalization;
using Acquire.Core.Alarms;
using Acquire.Core.Methods;
using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>Follows the stirrer: turning at its speed while the specimen is heated, standing while the flame is applied.</summary>
internal static class StirrerSupervision
{
    // A stirrer coasts to a stop while the flame comes over the cup, and may start while it leaves, s: common practice, no source.
    private const double CoastSeconds = 0.3;

    // Between two readings of a stirrer that coasts to a stop, or comes up to speed, its speed changes by more than this share.
    private const double CoastShare = 0.1;

    /// <summary>A reading of the stirrer.</summary>
    /// <param name="bench">The run.</param>
    /// <param name="seconds">When, s.</param>
    /// <param name="turns">Whether it turns.</param>
    /// <param name="speed">Its speed, r/min; null where it is not told.</param>
    public static void Read(in Bench bench, double seconds, bool turns, double? speed)
    {
        var ledger = bench.State.Told;
        ledger.Turns.Take(seconds, turns);
        (ledger.RevolutionsBefore, ledger.RevolutionsPerMinute) = (ledger.RevolutionsPerMinute, speed);
        if (!turns)
        {
            bench.Clear(AlarmCodes.StirrerOnAtApplication);
        }

        Outside(bench, seconds);
    }

    /// <summary>The temperature has moved on. A tester that tells only changes says nothing while the stirrer stands; a person who is asked for an application stops it first.</summary>
    public static void Look(in Bench bench)
    {
        var s = bench.State;
        if (s.Told.Turns.Newest is null)
        {
            return;
        }

        s.Told.RevolutionsBefore = s.Told.RevolutionsPerMinute;
        Outside(bench, s.AtSeconds);
        if (s.Guide.Prompt is { } prompt && s.TemperatureCelsius >= prompt.DueCelsius && s.Told.Turns.Newest == true && bench.Rules.Method.Stirring is { StoppedDuringApplication: true })
        {
            bench.Alarm(AlarmCodes.StirrerOnAtApplication, "The stirrer turns and an application is due. Stop it, then apply the test flame.");
        }
    }

    /// <summary>An application is over: did the stirrer turn meanwhile?</summary>
    public static void Applied(in Bench bench, Application application, double toSeconds)
    {
        var ledger = bench.State.Told;
        // A person's key comes when the stirrer may turn again, and an application that nobody saw has no moment.
        if (bench.Rules.Method.Stirring is not { StoppedDuringApplication: true } || application.Evidence is ApplicationEvidence.Person or ApplicationEvidence.Schedule)
        {
            return;
        }

        var middle = (application.TimeSeconds + toSeconds) / 2;
        var (from, to) = (Math.Min(application.TimeSeconds + CoastSeconds, middle), Math.Max(toSeconds - CoastSeconds, middle));
        if (!ledger.Turns.Ever(true, from, to))
        {
            return;
        }

        ledger.Stirred.Add(application.TimeSeconds, application.TemperatureCelsius);
        if (ledger.Turns.Newest == true)
        {
            bench.Alarm(AlarmCodes.StirrerOnAtApplication, "The stirrer turned while the test flame was applied. Stop it before the next application.");
        }
    }

    /// <summary>States what was noticed.</summary>
    public static void Finish(in Bench bench)
    {
        var ledger = bench.State.Told;
        if (ledger.Stirred.Count > 0)
        {
            bench.Find(FindingCodes.StirrerOnAtApplication, FindingWeight.Doubtful, ledger.Stirred.FirstSeconds, ledger.Stirred.FirstCelsius, ledger.Stirred.Count, 0,
                $"The stirrer turned at {ledger.Stirred.Count} of {bench.State.Series.Made.Count} applications; the method stops it for each. Stirring throws the vapour about under the lid: repeat with a fresh test portion.");
        }

        if (bench.Rules.Method.Stirring is { OutsideSeconds: { } limit } rules && ledger.Stirrer.LongestSeconds > limit)
        {
            bench.Find(FindingCodes.StirrerOutsideBand, FindingWeight.Doubtful, ledger.Stirrer.LongestFrom, ledger.Stirrer.LongestCelsius, ledger.Stirrer.LongestSeconds, limit,
                $"The stirrer {Done(ledger)} for {Text.Seconds(ledger.Stirrer.LongestSeconds)} while the specimen was heated (limit {Text.Seconds(limit)}); the method has {Band(rules)}. The specimen was not at one temperature: repeat with a fresh test portion.");
        }
    }

    private static void Outside(in Bench bench, double seconds)
    {
        var s = bench.State;
        var (ledger, stretch) = (s.Told, s.Told.Stirrer);
        if (bench.Rules.Method.Stirring is not { OutsideSeconds: { } limit } rules || s.RampLedger.ControlledSince is null || !bench.Searching || s.BurningSince is not null)
        {
            stretch.End();
            return;
        }

        if (s.FlameOver || s.Phase == RunPhase.ApplyingTestFlame)
        {
            stretch.Hold(seconds);
            return;
        }

        var speed = ledger.RevolutionsPerMinute ?? (ledger.Turns.Newest == true ? rules.RevolutionsPerMinute.From : 0);
        if (ledger.Turns.Newest == true && rules.RevolutionsPerMinute.Contains(speed))
        {
            stretch.End();
            bench.Clear(AlarmCodes.StirrerOutsideBand);
            return;
        }

        Doing(ledger, rules, seconds, speed);
        stretch.Break(seconds, s.TemperatureCelsius, speed, Away(rules, speed) > Away(rules, stretch.Worst));
        ledger.StirrerLongestStoodSeconds = stretch.Since == stretch.LongestFrom ? ledger.StirrerStoodSeconds : ledger.StirrerLongestStoodSeconds;
        if (stretch.Seconds > limit)
        {
            bench.Alarm(AlarmCodes.StirrerOutsideBand, $"The stirrer {Doing(speed)}; the method has {Band(rules)}. Set it right.");
        }
    }

    // A stirrer that turns at a wrong speed is stopped for each application, somewhat before and after it: what it did for most of the time is told.
    private static void Doing(BenchLedger ledger, StirringRules rules, double seconds, double speed)
    {
        var stands = speed < Readings.ReadingRow.StandingRevolutionsPerMinute;
        var passed = ledger.Stirrer.Since is null ? 0 : seconds - ledger.Stirrer.LastSeconds;
        ledger.StirrerStoodSeconds = (ledger.Stirrer.Since is null ? 0 : ledger.StirrerStoodSeconds) + (stands ? passed : 0);
        var before = ledger.RevolutionsBefore ?? speed;
        var coasts = Math.Abs(speed - before) > CoastShare * Math.Max(speed, before);
        if (!stands && !coasts && !(ledger.StirrerWorstTurning is { } worst && Away(rules, worst) >= Away(rules, speed)))
        {
            ledger.StirrerWorstTurning = speed;
        }
    }

    private static string Done(BenchLedger ledger) =>
        Doing(ledger.StirrerWorstTurning is { } turning && 2 * ledger.StirrerLongestStoodSeconds < ledger.Stirrer.LongestSeconds ? turning : ledger.Stirrer.Worst);

    private static double Away(StirringRules rules, double speed) => Math.Max(rules.RevolutionsPerMinute.From - speed, speed - rules.RevolutionsPerMinute.To);

    private static string Doing(double speed) => speed < Readings.ReadingRow.StandingRevolutionsPerMinute ? "stood" : string.Create(CultureInfo.InvariantCulture, $"turned at {speed:0} r/min");

    private static string Band(StirringRules rules) => string.Create(CultureInfo.InvariantCulture, $"{rules.RevolutionsPerMinute.From} to {rules.RevolutionsPerMinute.To} r/min between applications");
}
