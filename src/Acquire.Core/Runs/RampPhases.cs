using Acquire.Core.Alarms;
using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>Moves the ramp from one band to the next: fast heating, easing, controlled heating; or one rate, once it has settled.</summary>
internal static class RampPhases
{
    // A reading this little above the warmest start is that start, °C.
    private const double StartToleranceCelsius = 0.5;

    /// <summary>The first reading: which band holds, and whether the specimen is cold enough.</summary>
    public static void Begin(in Bench bench, double seconds, double celsius)
    {
        var rules = bench.Rules;
        bench.State.Series.NextDueCelsius = rules.FirstApplicationCelsius;
        if (rules is { Ramp.FastHeatingCelsiusPerMinute: { } fast, EaseCelsius: { } ease })
        {
            bench.State.RampLedger.FastSince = seconds;
            bench.MoveTo(RunPhase.FastHeating);
            bench.Outputs.Add(new BandEntered(seconds, celsius, fast, ease));
        }
        else
        {
            bench.State.RampLedger.EasedSince = seconds;
            bench.MoveTo(RunPhase.ControlledHeating);
        }

        // Where a scouting run starts is known once it is heated.
        var limit = rules.StartAtMostCelsius;
        if (!rules.IsScouting && celsius > limit + StartToleranceCelsius)
        {
            bench.Find(FindingCodes.StartTooWarm, FindingWeight.Doubtful, seconds, celsius, celsius, limit,
                $"The record starts at {Text.Celsius(celsius)}; the method starts at or below {Text.Celsius(limit)}. Cool a fresh test portion and begin again, or state when it was charged.");
        }
    }

    /// <summary>A reading has come: does another band hold from here on?</summary>
    public static void Advance(in Bench bench, double seconds, double celsius)
    {
        var s = bench.State;
        var ramp = bench.Rules.Ramp;
        if (s.RampLedger.EasedSince is null && celsius >= bench.Rules.EaseCelsius)
        {
            s.RampLedger.EasedSince = seconds;
            RampSupervision.CloseExcursion(bench, s.RampLedger.Fast, FindingCodes.RateTooFast, ramp.FastHeatingCelsiusPerMinute!.To);
            if (s.Phase == RunPhase.FastHeating)
            {
                bench.MoveTo(RunPhase.ControlledHeating);
            }
        }

        if (s.RampLedger.ControlledSince is null && celsius >= ControlledFrom(bench))
        {
            s.RampLedger.ControlledSince = seconds;
            s.RampLedger.Fast = new Excursion();
            bench.Clear(AlarmCodes.HeatingTooFast);
            bench.Outputs.Add(new BandEntered(seconds, celsius, ramp.ControlledHeatingCelsiusPerMinute, null));
            if (ramp.IsConstant)
            {
                // What the thermometer showed before it was in the specimen is no top that the specimen could have cooled from.
                s.HighestCelsius = s.HighestMeanCelsius = celsius;
            }
        }
    }

    // A constant rate takes some degrees to settle: the heat has to come through the cup first. At the first application it must be there.
    private static double ControlledFrom(in Bench bench)
    {
        var rules = bench.Rules;
        if (rules.ControlledFromCelsius is { } from)
        {
            return from;
        }

        var lowest = bench.State.LowestCelsius;
        var settled = lowest + (rules.Judgement.SettleCelsius ?? 0);
        if (rules.IsScouting)
        {
            // Its first application is some degrees above the start: no heat is through the cup by then.
            return settled;
        }

        return lowest < rules.FirstApplicationCelsius ? Math.Min(settled, rules.FirstApplicationCelsius) : settled;
    }
}
