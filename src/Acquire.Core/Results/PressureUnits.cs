namespace Acquire.Core.Results;

/// <summary>Words and exact factors of the units in which a barometer may be read.</summary>
public static class PressureUnits
{
    /// <summary>The words, for files and for messages to people.</summary>
    public const string AllWords = "kPa, hPa, mbar, mmHg";

    /// <summary>One conventional millimetre of mercury, kPa: exactly 13.5951 × 9.80665 / 1000.</summary>
    /// <remarks>ISO 2719, clause 11, converts with 0.1333: at 760 mmHg that is 0.017 kPa less, or 0.004 °C in a corrected flash point.</remarks>
    public const double KilopascalsPerMillimetreOfMercury = 0.133322387415;

    /// <summary>The unit of a word. Upper and lower case differ: mbar is not Mbar.</summary>
    /// <param name="word">One of <see cref="AllWords"/>.</param>
    /// <param name="unit">The unit.</param>
    public static bool TryParse(ReadOnlySpan<char> word, out PressureUnit unit)
    {
        PressureUnit? found = word switch
        {
            "kPa" => PressureUnit.Kilopascal,
            "hPa" => PressureUnit.Hectopascal,
            "mbar" => PressureUnit.Millibar,
            "mmHg" => PressureUnit.MillimetreOfMercury,
            _ => null,
        };
        unit = found ?? default;
        return found is not null;
    }

    /// <summary>The word of a unit.</summary>
    public static string Word(PressureUnit unit) => unit switch
    {
        PressureUnit.Kilopascal => "kPa",
        PressureUnit.Hectopascal => "hPa",
        PressureUnit.Millibar => "mbar",
        PressureUnit.MillimetreOfMercury => "mmHg",
        _ => throw Unknown(unit),
    };

    /// <summary>A pressure in kPa.</summary>
    /// <param name="value">The pressure in its unit.</param>
    /// <param name="unit">Its unit.</param>
    // Divided by ten, not multiplied by a tenth: 1100 hPa is then 110 kPa to the last digit, and inside the range.
    public static double ToKilopascals(double value, PressureUnit unit) => unit switch
    {
        PressureUnit.Kilopascal => value,
        PressureUnit.Hectopascal or PressureUnit.Millibar => value / 10,
        PressureUnit.MillimetreOfMercury => value * KilopascalsPerMillimetreOfMercury,
        _ => throw Unknown(unit),
    };

    /// <summary>A pressure in another unit.</summary>
    /// <param name="kilopascals">The pressure, kPa.</param>
    /// <param name="unit">The unit wanted.</param>
    public static double FromKilopascals(double kilopascals, PressureUnit unit) => unit switch
    {
        PressureUnit.Kilopascal => kilopascals,
        PressureUnit.Hectopascal or PressureUnit.Millibar => kilopascals * 10,
        PressureUnit.MillimetreOfMercury => kilopascals / KilopascalsPerMillimetreOfMercury,
        _ => throw Unknown(unit),
    };

    private static ArgumentOutOfRangeException Unknown(PressureUnit unit) => new(nameof(unit), unit, "no such unit");
}
