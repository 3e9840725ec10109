using System.Globalization;
using System.Text.Json.Serialization;
using Acquire.Core.Methods;
using Acquire.Core.Runs;

namespace Acquire.Core.Results;

/// <summary>How the proper run after a scouting run begins, with a fresh test portion.</summary>
/// <param name="MethodId">The same method.</param>
/// <param name="ExpectedFlashCelsius">Expected flash point to order, whole °C: the flash that was observed, at the pressure of this bench.</param>
/// <param name="StartAtMostCelsius">The fresh test portion starts at or below this, °C.</param>
/// <param name="FirstApplicationCelsius">First application, °C.</param>
/// <param name="IntervalCelsius">Rise between applications, °C.</param>
/// <param name="HeatingCelsiusPerMinute">Band of controlled heating, °C/min.</param>
/// <param name="Variant">For which expected flash points these figures of the method hold, in words; null where they hold for all.</param>
public sealed record NextRun(
    string MethodId,
    double ExpectedFlashCelsius,
    double StartAtMostCelsius,
    double FirstApplicationCelsius,
    double IntervalCelsius,
    RateBand HeatingCelsiusPerMinute,
    string? Variant)
{
    /// <summary>All of it in one sentence, without its end.</summary>
    [JsonIgnore]
    public string Text => string.Create(CultureInfo.InvariantCulture,
        $"a fresh test portion at or below {StartAtMostCelsius:0.#} °C, expected flash point {ExpectedFlashCelsius:0} °C, first application at {FirstApplicationCelsius:0.#} °C, then every {IntervalCelsius:0.#} °C at {HeatingCelsiusPerMinute.From:0.##} to {HeatingCelsiusPerMinute.To:0.##} °C/min{(Variant is null ? "" : $", as {MethodId} has it for expected flash points {Variant}")}");

    /// <summary>The next run after a flash; null where the method is not written for it.</summary>
    /// <param name="method">The method with its variants; a ramp procedure.</param>
    /// <param name="observedCelsius">The flash as observed, °C.</param>
    public static NextRun? After(MethodDefinition method, double observedCelsius)
    {
        ArgumentNullException.ThrowIfNull(method);
        var expected = Math.Round(observedCelsius);
        if (!method.FlashScopeCelsius.Contains(expected) || !RunPlan.ExpectedFlashRangeCelsius.Contains(expected))
        {
            return null;
        }

        var rules = new RunRules(method, expected);
        return new(method.Id, expected, rules.StartAtMostCelsius, rules.FirstApplicationCelsius, rules.Applications.IntervalCelsius, rules.Ramp.ControlledHeatingCelsiusPerMinute, Words(method, expected));
    }

    // A flash point that no variant names is under the figures of the method itself, which then hold for what the variants leave.
    private static string? Words(MethodDefinition method, double expected)
    {
        if (method.Variants is not { Count: > 0 } variants)
        {
            return null;
        }

        return variants.FirstOrDefault(variant => variant.Holds(expected)) is { } held
            ? held.Range
            : string.Join(" and ", variants.Select(variant => variant.Rest));
    }
}
