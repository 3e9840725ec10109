namespace Acquire.Core.Thermometry;

/// <summary>What a thermometer's signal is.</summary>
public enum ThermometerQuantity
{
    /// <summary>A temperature; base unit °C.</summary>
    Temperature,

    /// <summary>A voltage; base unit mV.</summary>
    Voltage,

    /// <summary>A resistance; base unit ohm.</summary>
    Resistance,

    /// <summary>A current; base unit mA.</summary>
    Current,
}
