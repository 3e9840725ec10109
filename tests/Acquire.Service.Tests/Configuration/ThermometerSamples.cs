using System.Globalization;

namespace Acquire.Service.Tests.Configuration;

/// <summary>Files with one tester whose temperature channel is its second column and whose thermometer is described.</summary>
internal static class ThermometerSamples
{
    public const string UnitPath = "testers[0].source.columns[1].unit";
    public const string JunctionPath = "testers[0].source.columns[2].channel";
    public const string Chain = "testers[0].thermometer";

    public const string Direct = """ "kind": "direct" """;
    public const string Measured = """ "kind": "thermocouple", "type": "K", "referenceJunction": "measured" """;
    public const string Fixed = """ "kind": "thermocouple", "type": "T", "referenceJunction": "fixed", "junctionCelsius": 0 """;
    public const string Compensated = """ "kind": "thermocouple", "type": "S", "referenceJunction": "compensated" """;
    public const string Platinum = """ "kind": "platinum", "wires": 3 """;
    public const string Current = """ "kind": "transmitter", "signal": "4-20 mA", "lowCelsius": 0, "highCelsius": 400 """;
    public const string Voltage = """ "kind": "transmitter", "signal": "0-10 V", "lowCelsius": -50, "highCelsius": 350 """;
    public const string Glass = """ "kind": "liquid-in-glass", "liquid": "mercury", "immersedToCelsius": 60, "stemCelsius": 45 """;

    // Coefficients of a common NTC of 10 kΩ at 25 °C; value from memory.
    public const string Ntc = """ "kind": "thermistor", "a": 1.129241e-3, "b": 2.341077e-4, "c": 8.775468e-8 """;

    /// <summary>A certificate with one place open for its points.</summary>
    public static string Certificate(string points = "{ \"readingCelsius\": 200, \"correctionCelsius\": -0.3, \"expandedUncertaintyCelsius\": 0.2 }", string more = "") =>
        $$""" "calibration": { "number": "DEMO-0001", "calibratedOn": "2026-03-02", "dueOn": "2027-03-02", {{more}} "points": [ {{points}} ] } """;

    /// <summary>A file; <paramref name="more"/> goes into the thermometer beside its sensor.</summary>
    public static string Described(string unit, string sensor, string more = "", bool junction = false) =>
        Wired(unit, $$""" "thermometer": { "sensor": { {{sensor}} }{{(more.Length > 0 ? ", " + more : "")}} }, """, junction);

    /// <summary>A file with whatever is given for its tester.</summary>
    public static string Wired(string unit, string thermometer, bool junction)
    {
        var column = junction ? """, { "channel": "junction", "unit": "degC" }""" : "";
        var columns = string.Create(CultureInfo.InvariantCulture, $$""" "columns": [ { "channel": "time", "unit": "s" }, { "channel": "temperature", "unit": "{{unit}}" }{{column}} ] """);
        return ConfigSamples.Tester($$""" "kind": "serial", "port": "/dev/none", {{columns}} """, thermometer);
    }
}
