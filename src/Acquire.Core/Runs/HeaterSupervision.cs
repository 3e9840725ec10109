using Acquire.Core.Alarms;
using Acquire.Core.Control;
using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>Puts what happened to the heater of a driven run into its record, and judges what a cut does to the result.</summary>
internal static class HeaterSupervision
{
    public static void Take(in Bench bench, HeaterFact fact)
    {
        var s = bench.State;
        var at = Math.Abs(fact.AtSeconds) > RunInput.FarthestSeconds ? s.AtSeconds : fact.AtSeconds;
        s.AtSeconds = Math.Max(s.AtSeconds, at);
        fact = fact with { AtSeconds = s.AtSeconds, ReadingSeconds = s.Guide.ReadingSeconds };
        bench.Outputs.Add(fact);
        s.HeaterIsOn = fact is HeaterTurnedOn;
        if (!s.HeaterIsOn)
        {
            bench.Clear(AlarmCodes.HeatingTooFast);
            bench.Clear(AlarmCodes.HeatingTooSlow);
        }

        if (fact is HeaterCut { WasOn: true } cut && !IsComplete(bench) && cut.Code is not (TripCodes.ResultComplete or TripCodes.RunNotOpen))
        {
            Cut(bench, cut);
        }
    }

    /// <summary>The record closed by itself and the heater went off with it: each cut of a heater that was on is in the record.</summary>
    public static void AfterClose(RunState state, HeaterFact fact, List<RunOutput> outputs) =>
        outputs.Add(fact with { AtSeconds = state.AtSeconds, ReadingSeconds = state.Guide.ReadingSeconds });

    private static bool IsComplete(in Bench bench) => bench.Plan.IsEquilibrium
        ? bench.State.Portions.Ended is not null
        : bench.State.Fire is not null || (bench.State.Flash is not null && !bench.Rules.FirePoint.Determined);

    // What the cut did to the ramp is judged as any ramp is. This says why it happened, and that a person has to look at it
    // where the flash point is still to be found in heating that is judged.
    private static void Cut(in Bench bench, HeaterCut cut)
    {
        var s = bench.State;
        var (weight, what) = bench.Plan.IsEquilibrium
            ? (FindingWeight.Note, "The block falls from its temperature; each portion is judged by what it was tested at.")
            : s.Flash is not null ? (FindingWeight.Note, "The flash point found before stands; the fire point was not found yet.")
            : s.RampLedger.ControlledSince is null && s.Series.Made.Count == 0 ? (FindingWeight.Note, "The controlled band had not begun; heating that goes on may still keep it.")
            : (FindingWeight.Doubtful, "Heating towards the flash point was interrupted: the analyst decides whether the run may stand.");
        bench.Find(FindingCodes.HeaterCut, weight, s.AtSeconds, s.TemperatureCelsius, s.TemperatureCelsius, null, $"{cut.Text} {what}");
    }
}
