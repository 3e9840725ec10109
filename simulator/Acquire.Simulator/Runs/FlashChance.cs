namespace Acquire.Simulator;

/// <summary>Whether vapour at a test flame flashes, and how long the surface then burns.</summary>
internal sealed class FlashChance(SimulatorOptions options, SimulatorRandom random)
{
    // A flash turns from unlikely to likely (10 to 90 %) over this many °C; 0.3 to 0.5 °C assumed.
    private const double WidthCelsius = 0.3;

    // d ln(ratio)/dT of an oil near its flash point, 1/°C: 85 kJ/mol over R T² at 493 K.
    private const double LogRatioPerCelsius = 0.042;

    /// <summary>Decides whether it happens at a ratio of vapour to what it takes.</summary>
    public bool Happens(double ratio, double threshold)
    {
        var celsiusOver = Math.Log(Math.Max(ratio, 1e-9) / threshold) / LogRatioPerCelsius;
        var chance = 1 / (1 + Math.Exp(-celsiusOver * 2 * Math.Log(9) / WidthCelsius));
        return random.NextUnit() < chance;
    }

    /// <summary>How long the surface burns after a flash, s; 0 for a mere flash.</summary>
    public double BurningSeconds(double ratio, double fireRatio, out bool isFire)
    {
        var sustained = options.Method.FirePoint.SustainedSeconds;
        isFire = Happens(ratio, fireRatio);
        if (isFire)
        {
            // It would burn on; the cover goes on some seconds after the method has its fire point.
            return sustained + random.Between(2, 5);
        }

        var closeness = (ratio - 1) / (fireRatio - 1);
        return options.ShortBurns && closeness > 0.6
            ? Math.Min(sustained - 0.7, 0.3 + ((sustained - 1) * (closeness - 0.6) / 0.4 * random.Between(0.6, 1)))
            : 0;
    }
}
