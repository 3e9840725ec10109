using System.CommandLine;
using System.Diagnostics.CodeAnalysis;
using Acquire.Core;
using Acquire.Simulator;

namespace Acquire.Service.CommandLine;

/// <summary>What is in the simulated cup: an oil made to order by its flash point, or a specimen of known liquids.</summary>
internal sealed class SpecimenArgument
{
    /// <summary>Flash point of an oil made to order.</summary>
    public Option<double?> Flash { get; } = NumberOption.Optional("--flash", "Flash point as the tester's thermometer reads it at 101.3 kPa, °C. This or --specimen is required without --situation.");

    /// <summary>Its fire point.</summary>
    public Option<double?> Fire { get; } = NumberOption.Optional("--fire", "Fire point likewise, °C; left out, the specimen never burns on.");

    /// <summary>Known liquids.</summary>
    public Option<string?> Specimen { get; } = new("--specimen") { Description = "Known liquids instead of --flash, whose flash point then follows: a name such as n-decane, or mole fractions such as n-decane:0.9,n-octane:0.1. See 'acquire simulate specimens'." };

    /// <summary>What is said where neither or both are given.</summary>
    public IEnumerable<InputError> Missing(ParseResult parsed) =>
        parsed.GetValue(Flash) is null == parsed.GetValue(Specimen) is null ? [new(Flash.Name, "give exactly one of --flash CELSIUS and --specimen NAMES, unless --situation is given")] : [];

    /// <summary>Puts what was asked for into the options; on failure the errors say what is wrong.</summary>
    public bool TryFill(ParseResult parsed, SimulatorOptions bare, [NotNullWhen(true)] out SimulatorOptions? options, out IReadOnlyList<InputError> errors)
    {
        (options, errors) = (null, [.. Missing(parsed)]);
        if (errors.Count > 0)
        {
            return false;
        }

        var (flash, words) = (parsed.GetValue(Flash), parsed.GetValue(Specimen));
        if (words is null)
        {
            options = bare with { FlashCelsius = flash!.Value, FireCelsius = parsed.GetValue(Fire) };
        }
        else if (parsed.GetValue(Fire) is not null)
        {
            errors = [new(Fire.Name, "is for an oil made to order; the fire point of a specimen follows from its liquids")];
        }
        else if (Acquire.Simulator.Specimen.TryParse(words, Specimen.Name, out var specimen, out var error))
        {
            options = bare.WithSpecimen(specimen);
        }
        else
        {
            errors = [error];
        }

        return options is not null;
    }
}
