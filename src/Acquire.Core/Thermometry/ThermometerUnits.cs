namespace Acquire.Core.Thermometry;

/// <summary>Words, symbols and factors of the units in which a thermometer's signal may come.</summary>
/// <remarks>Our own rather than a library of units: nine of them, exact factors, and words that a tester's data sheet uses.</remarks>
public static class ThermometerUnits
{
    /// <summary>The words for files, for messages to people.</summary>
    public const string AllWords = "degC, K, degF, uV, mV, V, ohm, kohm, mA";

    /// <summary>The unit of a word or symbol. Upper and lower case differ: mV is not MV.</summary>
    /// <param name="word">One of <see cref="AllWords"/>, or a proper symbol: °C, °F, µV, Ω, kΩ. Micro sign or mu, ohm sign or omega: both.</param>
    /// <param name="unit">The unit.</param>
    public static bool TryParse(ReadOnlySpan<char> word, out ThermometerUnit unit)
    {
        ThermometerUnit? found = word switch
        {
            "degC" or "°C" => ThermometerUnit.Celsius,
            "K" => ThermometerUnit.Kelvin,
            "degF" or "°F" => ThermometerUnit.Fahrenheit,
            "uV" or "\u00B5V" or "\u03BCV" => ThermometerUnit.Microvolt,
            "mV" => ThermometerUnit.Millivolt,
            "V" => ThermometerUnit.Volt,
            "ohm" or "\u03A9" or "\u2126" => ThermometerUnit.Ohm,
            "kohm" or "k\u03A9" or "k\u2126" => ThermometerUnit.Kiloohm,
            "mA" => ThermometerUnit.Milliampere,
            _ => null,
        };
        unit = found ?? default;
        return found is not null;
    }

    /// <summary>The word in files.</summary>
    public static string Word(ThermometerUnit unit) => unit switch
    {
        ThermometerUnit.Celsius => "degC",
        ThermometerUnit.Kelvin => "K",
        ThermometerUnit.Fahrenheit => "degF",
        ThermometerUnit.Microvolt => "uV",
        ThermometerUnit.Millivolt => "mV",
        ThermometerUnit.Volt => "V",
        ThermometerUnit.Ohm => "ohm",
        ThermometerUnit.Kiloohm => "kohm",
        ThermometerUnit.Milliampere => "mA",
        _ => throw Unknown(unit),
    };

    /// <summary>The symbol for people.</summary>
    public static string Symbol(ThermometerUnit unit) => unit switch
    {
        ThermometerUnit.Celsius => "°C",
        ThermometerUnit.Fahrenheit => "°F",
        ThermometerUnit.Microvolt => "\u00B5V",
        ThermometerUnit.Ohm => "\u03A9",
        ThermometerUnit.Kiloohm => "k\u03A9",
        _ => Word(unit),
    };

    /// <summary>What is measured in a unit.</summary>
    public static ThermometerQuantity Quantity(ThermometerUnit unit) => unit switch
    {
        ThermometerUnit.Celsius or ThermometerUnit.Kelvin or ThermometerUnit.Fahrenheit => ThermometerQuantity.Temperature,
        ThermometerUnit.Microvolt or ThermometerUnit.Millivolt or ThermometerUnit.Volt => ThermometerQuantity.Voltage,
        ThermometerUnit.Ohm or ThermometerUnit.Kiloohm => ThermometerQuantity.Resistance,
        ThermometerUnit.Milliampere => ThermometerQuantity.Current,
        _ => throw Unknown(unit),
    };

    /// <summary>A value in the base unit of its quantity: °C, mV, ohm or mA.</summary>
    /// <param name="value">The value.</param>
    /// <param name="unit">Its unit.</param>
    public static double ToBase(double value, ThermometerUnit unit) => unit switch
    {
        ThermometerUnit.Kelvin => value - 273.15,
        ThermometerUnit.Fahrenheit => (value - 32) / 1.8,
        ThermometerUnit.Microvolt => value / 1000,
        ThermometerUnit.Volt or ThermometerUnit.Kiloohm => value * 1000,
        ThermometerUnit.Celsius or ThermometerUnit.Millivolt or ThermometerUnit.Ohm or ThermometerUnit.Milliampere => value,
        _ => throw Unknown(unit),
    };

    /// <summary>A value in a unit.</summary>
    /// <param name="baseValue">The value in the base unit of the quantity: °C, mV, ohm or mA.</param>
    /// <param name="unit">The unit wanted.</param>
    public static double FromBase(double baseValue, ThermometerUnit unit) => unit switch
    {
        ThermometerUnit.Kelvin => baseValue + 273.15,
        ThermometerUnit.Fahrenheit => (baseValue * 1.8) + 32,
        ThermometerUnit.Microvolt => baseValue * 1000,
        ThermometerUnit.Volt or ThermometerUnit.Kiloohm => baseValue / 1000,
        ThermometerUnit.Celsius or ThermometerUnit.Millivolt or ThermometerUnit.Ohm or ThermometerUnit.Milliampere => baseValue,
        _ => throw Unknown(unit),
    };

    private static ArgumentOutOfRangeException Unknown(ThermometerUnit unit) => new(nameof(unit), unit, null);
}
