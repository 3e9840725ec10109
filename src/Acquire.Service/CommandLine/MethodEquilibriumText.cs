using System.Globalization;
using Acquire.Core.Methods;

namespace Acquire.Service.CommandLine;

/// <summary>An equilibrium procedure in words.</summary>
internal static class MethodEquilibriumText
{
    /// <summary>Writes its lines.</summary>
    public static void Write(EquilibriumRules? rules, Action<string, string?> line)
    {
        if (rules is null)
        {
            return;
        }

        line("equilibrium", rules.Aim == EquilibriumAim.FlashNoFlash ? "flash or no flash at one temperature" : "flash point in steps");
        foreach (var charge in rules.Charges)
        {
            var tolerance = charge.ToleranceMillilitres is { } error ? Text($" ± {error}") : "";
            var where = charge.Material ?? (charge.UpToCelsius is { } to ? Text($"up to {to} °C") : "else");
            line("charge", Text($"{charge.Millilitres}{tolerance} mL, wait {charge.WaitSeconds} s ({where})"));
        }

        line("block", Text($"within {rules.BlockToleranceCelsius} °C of the set temperature for {rules.SteadySeconds} s before charging; the wait to within {rules.WaitToleranceSeconds} s"));
        line("shutter", Text($"opened and closed within {rules.ShutterSeconds} s, once for each fresh test portion"));
        var finer = rules.OptionalStepCelsius is { } step ? Text($", optionally {step}") : "";
        line("steps", rules.StepsCelsius is { } steps ? $"{string.Join(", then ", steps.Select(width => Text($"{width}")))}{finer} °C" : null);
        line("set point", rules.SetPoint is { } rule ? Text($"specification - {rule.CoefficientCelsiusPerKilopascal} °C/kPa x ({rule.StandardKilopascals} kPa - station), to the nearest {rule.StepCelsius} °C") : null);
    }

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
