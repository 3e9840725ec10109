using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;
using Acquire.Core.Thermometry;

namespace Acquire.Service.CommandLine.Converting;

/// <summary>How far a sensor of a class may differ when new.</summary>
/// <param name="Standard">Where the class is defined.</param>
/// <param name="Class">The class.</param>
/// <param name="PlusMinusC">Either way, °C.</param>
/// <param name="Remark">For which sensors it holds, and which of its figures were recalled.</param>
internal sealed record ConvertTolerance(string Standard, string Class, double PlusMinusC, string Remark);

/// <summary>What `acquire convert` prints. A figure that does not go with the sensor is left out.</summary>
internal sealed record ConvertReport
{
    private static readonly JsonSerializerOptions Options = new()
    {
        PropertyNamingPolicy = JsonNamingPolicy.SnakeCaseLower,
        DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
    };

    /// <param name="type">Sensor.</param>
    /// <param name="celsius">Its temperature, °C.</param>
    /// <param name="fromSignal">Whether the signal was given and the temperature is the answer.</param>
    // Adding nothing turns a negative zero, which a root can be, into the one that people write.
    public ConvertReport(string type, double celsius, bool fromSignal) => (Type, TemperatureC, FromSignal) = (type, celsius + 0.0, fromSignal);

    [JsonIgnore]
    public bool FromSignal { get; }

    public string Type { get; }

    public double TemperatureC { get; }

    public double TemperatureK => Cut(ThermometerUnits.FromBase(TemperatureC, ThermometerUnit.Kelvin));

    public double TemperatureF => Cut(ThermometerUnits.FromBase(TemperatureC, ThermometerUnit.Fahrenheit));

    public double? EmfMv { get; init; }

    public double? EmfUv { get; init; }

    public double? ReferenceJunctionC { get; init; }

    public double? Ohms { get; init; }

    public double? SignalMa { get; init; }

    public double? SignalV { get; init; }

    public double? SensitivityUvPerC { get; init; }

    public double? SensitivityOhmPerC { get; init; }

    public double? SensitivityMaPerC { get; init; }

    public double? SensitivityVPerC { get; init; }

    public IReadOnlyList<ConvertTolerance> Tolerances { get; init; } = [];

    public IReadOnlyList<string> Notes { get; init; } = [];

    public string ToJson() => JsonSerializer.Serialize(this, Options);

    // A sum such as t + 273.15 has a tail of binary digits that nobody gave.
    private static double Cut(double value) => Math.Round(value, 9);
}
