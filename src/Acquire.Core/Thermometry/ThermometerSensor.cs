using System.Text.Json.Serialization;

namespace Acquire.Core.Thermometry;

/// <summary>What turns a temperature into the signal that the tester sends.</summary>
[JsonPolymorphic(TypeDiscriminatorPropertyName = "kind")]
[JsonDerivedType(typeof(DirectSensor), "direct")]
[JsonDerivedType(typeof(ThermocoupleSensor), "thermocouple")]
[JsonDerivedType(typeof(PlatinumSensor), "platinum")]
[JsonDerivedType(typeof(ThermistorSensor), "thermistor")]
[JsonDerivedType(typeof(TransmitterSensor), "transmitter")]
[JsonDerivedType(typeof(LiquidInGlassSensor), "liquid-in-glass")]
public abstract record ThermometerSensor;

/// <summary>The tester sends a temperature; what it made of its sensor is its own affair.</summary>
public sealed record DirectSensor : ThermometerSensor;

/// <summary>Where the other end of a thermocouple is.</summary>
[JsonConverter(typeof(JsonStringEnumConverter<ReferenceJunctionKind>))]
public enum ReferenceJunctionKind
{
    /// <summary>Measured: the tester sends its temperature.</summary>
    [JsonStringEnumMemberName("measured")]
    Measured,

    /// <summary>Held at a known temperature.</summary>
    [JsonStringEnumMemberName("fixed")]
    Fixed,

    /// <summary>The tester has already added the junction's emf: the signal is that of a junction at 0 °C.</summary>
    [JsonStringEnumMemberName("compensated")]
    Compensated,
}

/// <summary>A thermocouple with letter type and reference junction (ITS-90 reference functions, IEC 60584-1).</summary>
/// <param name="Type">Letter.</param>
/// <param name="ReferenceJunction">Where its other end is.</param>
/// <param name="JunctionCelsius">Temperature of a fixed junction, °C, -20 to 80; null otherwise.</param>
public sealed record ThermocoupleSensor(ThermocoupleType Type, ReferenceJunctionKind ReferenceJunction, double? JunctionCelsius) : ThermometerSensor;

/// <summary>A platinum resistance thermometer (IEC 60751).</summary>
/// <param name="R0Ohms">Resistance at 0 °C, ohm, 10 to 10,000.</param>
/// <param name="Wires">2, 3 or 4.</param>
/// <param name="LeadOhms">Two wires: resistance of both leads together; three wires: by how much the lead in the sensor's loop exceeds its twin; ohm. Null or 0 for four wires.</param>
/// <param name="Tolerance">Tolerance class; null where unknown.</param>
public sealed record PlatinumSensor(double R0Ohms, int Wires, double? LeadOhms, PlatinumTolerance? Tolerance) : ThermometerSensor;

/// <summary>An NTC thermistor by the Steinhart-Hart equation: 1/T = A + B ln R + C (ln R)³ with T in K and R in ohm.</summary>
/// <param name="A">1/K, -1 to 1.</param>
/// <param name="B">1/K, above 0, up to 1.</param>
/// <param name="C">1/K, -1 to 1. The curve must fall with temperature, see <see cref="Thermistor.Check"/>.</param>
public sealed record ThermistorSensor(double A, double B, double C) : ThermometerSensor;

/// <summary>Signal of a linear transmitter.</summary>
[JsonConverter(typeof(JsonStringEnumConverter<TransmitterSignal>))]
public enum TransmitterSignal
{
    /// <summary>4 to 20 mA, with failure levels by NAMUR NE 43.</summary>
    [JsonStringEnumMemberName("4-20 mA")]
    FourToTwentyMilliampere,

    /// <summary>0 to 10 V.</summary>
    [JsonStringEnumMemberName("0-10 V")]
    ZeroToTenVolt,
}

/// <summary>A transmitter whose signal is linear in temperature.</summary>
/// <param name="Signal">Its signal.</param>
/// <param name="LowCelsius">Temperature at the low end of the signal, °C, -273.15 to 1500.</param>
/// <param name="HighCelsius">Temperature at the high end of the signal, °C, up to 1500; above <paramref name="LowCelsius"/>.</param>
public sealed record TransmitterSensor(TransmitterSignal Signal, double LowCelsius, double HighCelsius) : ThermometerSensor;

/// <summary>Thermometric liquid.</summary>
[JsonConverter(typeof(JsonStringEnumConverter<ThermometricLiquid>))]
public enum ThermometricLiquid
{
    /// <summary>Mercury in glass.</summary>
    [JsonStringEnumMemberName("mercury")]
    Mercury,

    /// <summary>An organic liquid in glass.</summary>
    [JsonStringEnumMemberName("organic")]
    Organic,
}

/// <summary>A liquid-in-glass thermometer whose stem stands out of the specimen.</summary>
/// <param name="Liquid">What is in it.</param>
/// <param name="ImmersedToCelsius">Scale reading at which the stem leaves the specimen, °C: the emergent degrees are counted from here; -200 to 700.</param>
/// <param name="StemCelsius">Mean temperature of the emergent stem, °C, -60 to 400.</param>
/// <param name="CalibratedStemCelsius">Stem temperature for which a partial-immersion thermometer was graduated, °C, -60 to 400; null for one graduated in total immersion.</param>
public sealed record LiquidInGlassSensor(ThermometricLiquid Liquid, double ImmersedToCelsius, double StemCelsius, double? CalibratedStemCelsius) : ThermometerSensor;
