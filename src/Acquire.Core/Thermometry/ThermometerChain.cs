using System.Text.Json.Serialization;

namespace Acquire.Core.Thermometry;

/// <summary>Everything between the specimen thermometer's signal and a temperature one can defend. Recorded with each run, so that the temperatures can be computed again from the signals.</summary>
/// <remarks>Order: unit, reference junction, linearisation, calibration, emergent stem, lag. <see cref="ThermometerReader"/> does it.</remarks>
public sealed record ThermometerChain
{
    /// <summary>The tester sends °C and nothing is known about its sensor.</summary>
    public static readonly ThermometerChain Plain = new() { Unit = ThermometerUnit.Celsius, Sensor = new DirectSensor() };

    /// <summary>Unit of the signal.</summary>
    public required ThermometerUnit Unit { get; init; }

    /// <summary>What turns temperature into the signal.</summary>
    public required ThermometerSensor Sensor { get; init; }

    /// <summary>Certified corrections; null where there is no certificate.</summary>
    public CalibrationCertificate? Calibration { get; init; }

    /// <summary>Lag of the sensor in the specimen; null where unknown.</summary>
    public SensorLag? Lag { get; init; }

    /// <summary>What can be shown at all.</summary>
    public ThermometerLimits Limits { get; init; } = new();

    /// <summary>Whether the temperature of a reference junction has to come with the readings.</summary>
    [JsonIgnore]
    public bool NeedsJunction => Sensor is ThermocoupleSensor { ReferenceJunction: ReferenceJunctionKind.Measured };

    /// <summary>Whether the temperature is the signal itself: rows then carry it once.</summary>
    [JsonIgnore]
    public bool IsPlain => Unit == ThermometerUnit.Celsius && Sensor is DirectSensor && Calibration is null && Lag is not { Correct: true };
}
