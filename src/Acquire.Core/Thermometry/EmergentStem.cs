namespace Acquire.Core.Thermometry;

/// <summary>What a liquid-in-glass thermometer reads too low because part of its column stands out of the specimen.</summary>
/// <remarks>
/// Correction = k·n·(T − t): n degrees of the column are at the stem's temperature t instead of T, which is the reading, or for a
/// partial-immersion thermometer the stem temperature for which its scale was made. The bulb is hotter than the reading by
/// the correction itself; that adds k·n of the correction, 3 % for 200 emergent degrees, and is left out as handbooks do:
/// k is not known better.
/// </remarks>
public static class EmergentStem
{
    // Apparent expansion of mercury in ordinary thermometer glass; older texts have 0.000154 (J. B. Cohen, Practical Organic Chemistry).
    private const double MercuryPerCelsius = 0.00016;

    // Alcohol, toluene, pentane: value from memory.
    private const double OrganicPerCelsius = 0.001;

    /// <summary>Correction to be added to a reading, °C; 0 while the column ends inside the specimen.</summary>
    /// <param name="readingCelsius">Reading, °C.</param>
    /// <param name="sensor">The thermometer and its stem.</param>
    public static double CorrectionCelsius(double readingCelsius, LiquidInGlassSensor sensor)
    {
        ArgumentNullException.ThrowIfNull(sensor);
        var emergent = Math.Max(0, readingCelsius - sensor.ImmersedToCelsius);
        var should = sensor.CalibratedStemCelsius ?? readingCelsius;
        return ExpansionPerCelsius(sensor.Liquid) * emergent * (should - sensor.StemCelsius);
    }

    /// <summary>Apparent expansion of a thermometric liquid in glass, per °C.</summary>
    /// <param name="liquid">The liquid.</param>
    public static double ExpansionPerCelsius(ThermometricLiquid liquid) => liquid switch
    {
        ThermometricLiquid.Mercury => MercuryPerCelsius,
        ThermometricLiquid.Organic => OrganicPerCelsius,
        _ => throw new ArgumentOutOfRangeException(nameof(liquid), liquid, null),
    };
}
