using System.Globalization;
using System.Text.Json.Serialization;
using Acquire.Core.Methods;
using Acquire.Core.Runs;

namespace Acquire.Core.Results;

/// <summary>What an equilibrium procedure answered, and the tests that the answer rests on.</summary>
/// <param name="Aim">What was asked.</param>
/// <param name="Tests">All tests, in order; those that do not count say why.</param>
public sealed record EquilibriumResult(EquilibriumAim Aim, IReadOnlyList<PortionTest> Tests)
{
    /// <summary>The specification that was tested, at standard pressure, °C; null where a flash point was searched.</summary>
    public double? SpecificationCelsius { get; init; }

    /// <summary>Temperature as read at the application that decided, °C; null where none did.</summary>
    public double? TestedCelsius { get; init; }

    /// <summary>The same at the method's standard pressure, °C.</summary>
    public double? CorrectedCelsius { get; init; }

    /// <summary>Whether it flashed there; null where there is no answer.</summary>
    public bool? Flashed { get; init; }

    /// <summary>Distance from the flash to the highest set temperature below it without one, °C; null where no flash point was found.</summary>
    public double? StepCelsius { get; init; }

    /// <summary>The answer to flash or no flash in one sentence; null where there is none, and where a flash point was searched.</summary>
    [JsonIgnore]
    public string? Statement => this is { Aim: EquilibriumAim.FlashNoFlash, Flashed: { } flashed, SpecificationCelsius: { } specification, TestedCelsius: { } tested, CorrectedCelsius: { } corrected }
        ? string.Create(CultureInfo.InvariantCulture, $"{(flashed ? "Flash" : "No flash")} at the specification temperature of {specification:0.##} °C: tested at {tested:0.0} °C, which is {corrected:0.0} °C at standard pressure.")
        : null;
}
