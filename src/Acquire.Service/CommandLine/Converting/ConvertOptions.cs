namespace Acquire.Service.CommandLine.Converting;

/// <summary>Names of the options of `acquire convert` that hold a number; errors name them.</summary>
internal static class ConvertOptions
{
    public const string EmfMillivolts = "--emf-mv";
    public const string EmfMicrovolts = "--emf-uv";
    public const string Ohms = "--ohms";
    public const string Kiloohms = "--kohms";
    public const string Milliamperes = "--ma";
    public const string Volts = "--volts";
    public const string Celsius = "--temperature-c";
    public const string JunctionCelsius = "--reference-junction-c";
    public const string ThermistorA = "--ntc-a";
    public const string ThermistorB = "--ntc-b";
    public const string ThermistorC = "--ntc-c";
    public const string LowCelsius = "--low-c";
    public const string HighCelsius = "--high-c";

    /// <summary>All of them, with what help says.</summary>
    public static IReadOnlyList<(string Name, string Description)> All { get; } =
    [
        (EmfMillivolts, "Emf of a thermocouple as measured, mV."),
        (EmfMicrovolts, "Emf of a thermocouple as measured, µV."),
        (Ohms, "Resistance of the sensor without its leads, ohm."),
        (Kiloohms, "Resistance of the sensor without its leads, kohm."),
        (Milliamperes, "Current of a 4 to 20 mA transmitter, mA."),
        (Volts, "Voltage of a 0 to 10 V transmitter, V."),
        (Celsius, "Temperature to be turned into a signal, °C; with --to."),
        (JunctionCelsius, "Temperature of a thermocouple's reference junction, °C; left out, 0 °C. At the terminals of a voltmeter it is the temperature of those terminals."),
        (ThermistorA, "NTC thermistor: A of 1/T = A + B ln R + C (ln R)^3, with R in ohm and T in K."),
        (ThermistorB, "NTC thermistor: B."),
        (ThermistorC, "NTC thermistor: C."),
        (LowCelsius, "Transmitter: temperature at 4 mA or 0 V, °C."),
        (HighCelsius, "Transmitter: temperature at 20 mA or 10 V, °C."),
    ];

    /// <summary>Those that hold a signal.</summary>
    public static IReadOnlyList<string> Signals { get; } = [EmfMillivolts, EmfMicrovolts, Ohms, Kiloohms, Milliamperes, Volts];
}
