using System.Diagnostics.CodeAnalysis;
using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;
using Acquire.Core;
using Acquire.Core.Thermometry;
using Acquire.Service.Configuration.Parsing;

namespace Acquire.Service.Configuration;

/// <summary>A thermometer's chain as a JSON document of its own: the object `thermometer` of `acquire.json`, and the unit of the signal.</summary>
public static class ThermometerChainFile
{
    private static readonly JsonSerializerOptions Options = new()
    {
        PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
        DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
        WriteIndented = true,
    };

    /// <summary>Reads a document as strictly as `acquire.json`.</summary>
    /// <remarks>Whether the readings bring the junction that a measured reference junction needs is not known here: ask <see cref="ThermometerRules.Check"/>.</remarks>
    /// <param name="json">The text; comments and trailing commas are allowed.</param>
    /// <param name="chain">The chain; null after a mistake.</param>
    /// <param name="errors">Every mistake, with its key and what is allowed.</param>
    public static bool TryParse(string json, [NotNullWhen(true)] out ThermometerChain? chain, out IReadOnlyList<InputError> errors) =>
        StrictJson.TryParse(json, Read, out chain, out errors);

    /// <summary>The document of a chain whose numbers are finite; <see cref="TryParse"/> reads the same chain from it.</summary>
    public static string Write(ThermometerChain chain) => JsonSerializer.Serialize(chain, Options);

    private static ThermometerChain Read(ConfigObject root)
    {
        root.TryChoice("unit", UnitWords.Thermometer, null, out var unit, UnitWords.Canonical);
        var chain = ThermometerSection.Read(root, unit);
        if (root.MistakesSoFar == 0)
        {
            var needsJunction = chain.Sensor is ThermocoupleSensor { ReferenceJunction: ReferenceJunctionKind.Measured };
            foreach (var error in ThermometerRules.Check(chain, needsJunction))
            {
                root.Refuse(error.Path, error.Message);
            }
        }

        return chain;
    }
}
