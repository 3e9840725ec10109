using Acquire.Core.Alarms;
using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>A person, or the tester, says that a fresh test portion is in the cup.</summary>
internal static class PortionCharging
{
    /// <summary>Takes the portion; it is stated as it came, whatever becomes of it.</summary>
    public static void Charge(in Bench bench, double seconds, double? millilitres, string? person)
    {
        var (s, portions) = (bench.State, bench.State.Portions);

        // A key before this belongs to the portion before: it is not taken back any more.
        s.Withdrawable = null;
        s.AtSeconds = Math.Max(s.AtSeconds, seconds);
        bench.Outputs.Add(new PortionCharged(s.AtSeconds, s.Guide.ReadingSeconds, millilitres, person));
        if (s.Phase is RunPhase.Ready or RunPhase.Cooling || portions.SetCelsius is not { } set || s.TemperatureCelsius is not { } newest)
        {
            return;
        }

        if (portions.Portion is { Tested: false } given)
        {
            Ask(bench, given, counts: false);
            bench.Find(FindingCodes.PortionGivenUp, FindingWeight.Note, s.AtSeconds, newest, given.Number, null,
                $"Portion {given.Number} was given up: another was charged before the flame was applied to it. Clean the cup between portions.");
        }

        var charge = bench.Portions.ChargeAt(set);
        var portion = new PortionInCup { Number = ++portions.Charged, AtSeconds = s.AtSeconds, Millilitres = millilitres, WaitSeconds = charge.WaitSeconds };
        (portions.Portion, portions.Flame, s.Guide.Prompt) = (portion, null, null);
        Judge(bench, portion, s.Ramp.ReadAt(s.AtSeconds) ?? newest, charge);
        bench.MoveTo(RunPhase.PortionWaiting);
    }

    private static void Judge(in Bench bench, PortionInCup portion, double celsius, Methods.EquilibriumCharge charge)
    {
        var (s, rules) = (bench.State, bench.Portions.Rules);
        var set = s.Portions.SetCelsius!.Value;
        portion.WorstOffCelsius = Math.Abs(celsius - set);
        if (celsius > set + rules.BlockToleranceCelsius)
        {
            bench.Alarm(AlarmCodes.ChargedTooHot, $"A portion was charged into a cup at {Text.Celsius(celsius)}; {Text.Celsius(set)} was set. Keep every flame away from the cup and let it cool.");
            Spoil(bench, portion, FindingCodes.ChargedTooHot, celsius, celsius, set + rules.BlockToleranceCelsius,
                $"Portion {portion.Number} was charged into a cup at {Text.Celsius(celsius)}, above the {Text.Celsius(set)} that was set. It may have lost vapour or caught fire: keep the flame away, let the cup cool, clean it.");
        }
        else if (!PortionSupervision.IsSteady(bench))
        {
            portion.Questions.Add(new(FindingCodes.BlockNotSteady, FindingWeight.Doubtful, s.AtSeconds, celsius, Math.Abs(celsius - set), rules.BlockToleranceCelsius,
                $"Portion {portion.Number} was charged at {Text.Celsius(celsius)} before the block had kept {Text.Celsius(set)} to within {Text.Celsius(rules.BlockToleranceCelsius)} for {Text.Seconds(rules.SteadySeconds)}. Wait until the program asks for it."));
        }

        if (portion.Millilitres is { } given && charge.ToleranceMillilitres is { } tolerance && Math.Abs(given - charge.Millilitres) > tolerance + 1e-9)
        {
            Spoil(bench, portion, FindingCodes.PortionVolume, celsius, given, charge.Millilitres,
                $"Portion {portion.Number} has {Text.Millilitres(given)}; at {Text.Celsius(set)} the method wants {Text.Millilitres(charge.Millilitres)}, to within {Text.Millilitres(tolerance)}.");
        }
    }

    /// <summary>States what speaks against a portion's test, now that it is known whether the test counts.</summary>
    public static void Ask(in Bench bench, PortionInCup portion, bool counts)
    {
        foreach (var question in portion.Questions)
        {
            bench.Find(question.Code, counts ? question.Weight : FindingWeight.Note, question.TimeSeconds, question.TemperatureCelsius, question.Value, question.Limit, question.Text);
        }

        portion.Questions.Clear();
    }

    /// <summary>A test that does not count is repeated with a fresh portion; only the first reason is kept with it.</summary>
    public static void Spoil(in Bench bench, PortionInCup portion, string code, double? celsius, double? value, double? limit, string text, FindingWeight weight = FindingWeight.Note)
    {
        portion.Spoiled ??= code;
        bench.Find(code, weight, bench.State.AtSeconds, celsius, value, limit, $"{text} Its test does not count: repeat it with a fresh test portion.");
    }
}
