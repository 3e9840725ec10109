namespace Acquire.Core.Methods;

/// <summary>Limits for what is measured beside the cup. A figure that is not there is not judged.</summary>
public sealed record SurroundingsRules
{
    /// <summary>Air faster than this beside the cup is a draught, m/s; with <see cref="DraughtSeconds"/>.</summary>
    public double? DraughtMetresPerSecond { get; init; }

    /// <summary>A draught that lasts longer than this while the specimen is heated is a finding, s; one at an application always is.</summary>
    public double? DraughtSeconds { get; init; }

    /// <summary>Temperatures of the room in which the method may be carried out, °C.</summary>
    public TemperatureRange? AmbientCelsius { get; init; }

    /// <summary>A room whose temperature changes by more than this while the specimen is heated is a finding, °C.</summary>
    public double? AmbientChangeCelsius { get; init; }
}
