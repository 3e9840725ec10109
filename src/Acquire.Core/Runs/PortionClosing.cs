using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>What is said at the end of an equilibrium run.</summary>
internal static class PortionClosing
{
    /// <summary>States that there is no answer, where there is none.</summary>
    public static void Missing(in Bench bench)
    {
        var (s, portions) = (bench.State, bench.State.Portions);
        if (portions.Portion is { Tested: false } untested)
        {
            PortionCharging.Ask(bench, untested, counts: false);
        }

        if (portions.Ended == SearchWish.Found)
        {
            return;
        }

        var counted = portions.Tests.Where(test => test.Counts).ToArray();
        var last = counted.LastOrDefault();
        var why = portions.Ended switch
        {
            SearchWish.Below => $"a portion flashed at {Text.Celsius(last!.SetCelsius)}, the lowest temperature that the method covers here: the flash point lies at or below it",
            SearchWish.Above => $"no portion flashed up to {Text.Celsius(last!.SetCelsius)}, the highest temperature that the method covers here: the flash point lies above it",
            SearchWish.Test => $"{portions.Tests.Count} portions were tested, and the search had not ended",
            _ when counted.Length == 0 => "the record ends before any test that counts",
            _ => $"the record ends after {(counted.Length == 1 ? "one test that counts" : $"{counted.Length} tests that count")}{Bracket(counted)}, before the search had ended",
        };
        bench.Find(FindingCodes.NoAnswer, FindingWeight.Invalid, s.AtSeconds, s.TemperatureCelsius, last?.SetCelsius, portions.SetCelsius,
            $"No answer: {why}. {(portions.Ended is null ? "Go on with fresh test portions until the program has its answer." : "Choose a method that covers it, or look for what spoils the tests.")}");
    }

    private static string Bracket(PortionTest[] counted)
    {
        var (flash, none) = (counted.Where(test => test.Flashed).Select(test => (double?)test.SetCelsius).Min(), counted.Where(test => !test.Flashed).Select(test => (double?)test.SetCelsius).Max());
        return (flash, none) switch
        {
            ({ } high, { } low) => $" (a flash at {Text.Celsius(high)}, none at {Text.Celsius(low)})",
            ({ } high, _) => $" (a flash at {Text.Celsius(high)})",
            (_, { } low) => $" (no flash up to {Text.Celsius(low)})",
            _ => "",
        };
    }

    /// <summary>The answer with the tests that it rests on.</summary>
    public static EquilibriumResult Result(in Bench bench, double pressure, Verdict verdict)
    {
        var (plan, portions, rules) = (bench.Plan, bench.State.Portions, bench.Portions);
        var decisive = verdict == Verdict.Invalid ? null : portions.Decisive;
        double? below = decisive is null || !rules.IsPointSearch ? null
            : portions.Tests.Where(test => test.Counts && !test.Flashed && test.SetCelsius < decisive.SetCelsius).Select(test => (double?)test.SetCelsius).Max();
        return new(rules.Rules.Aim, [.. portions.Tests])
        {
            SpecificationCelsius = plan.SpecificationCelsius,
            TestedCelsius = decisive?.AppliedCelsius,
            CorrectedCelsius = decisive?.AppliedCelsius is { } read ? BarometricCorrection.Correct(read, pressure, plan.Method.Barometric) : null,
            Flashed = decisive?.Flashed,
            StepCelsius = decisive?.SetCelsius - below,
        };
    }
}
