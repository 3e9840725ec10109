namespace Acquire.Core.Thermometry;

/// <summary>How far a thermocouple may differ from its reference function when new (IEC 60584-1:2013).</summary>
/// <remarks>All figures: value from memory; check them against the standard before they decide anything.</remarks>
public static class ThermocoupleTolerance
{
    /// <summary>Tolerance either way, °C; null where no figure is known here for the type, class and temperature.</summary>
    /// <param name="type">Letter.</param>
    /// <param name="toleranceClass">1 or 2.</param>
    /// <param name="celsius">Temperature, °C.</param>
    public static double? ToleranceCelsius(ThermocoupleType type, int toleranceClass, double celsius) => (type, toleranceClass) switch
    {
        (ThermocoupleType.K or ThermocoupleType.N, 1) => Within(celsius, -40, 1000, 1.5, 0.004),
        (ThermocoupleType.K or ThermocoupleType.N, 2) => Within(celsius, -40, 1200, 2.5, 0.0075),
        (ThermocoupleType.J, 1) => Within(celsius, -40, 750, 1.5, 0.004),
        (ThermocoupleType.J, 2) => Within(celsius, -40, 750, 2.5, 0.0075),
        (ThermocoupleType.T, 1) => Within(celsius, -40, 350, 0.5, 0.004),
        (ThermocoupleType.T, 2) => Within(celsius, -40, 350, 1.0, 0.0075),
        (ThermocoupleType.R or ThermocoupleType.S, 1) => Within(celsius, 0, 1100, 1.0, 0),
        _ => null,
    };

    // The larger of a fixed figure and a share of the temperature; not a number is within nothing.
    private static double? Within(double celsius, double lowest, double highest, double fixedCelsius, double share) =>
        celsius >= lowest && celsius <= highest ? Math.Max(fixedCelsius, share * Math.Abs(celsius)) : null;
}
