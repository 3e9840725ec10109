namespace Acquire.Simulator;

/// <summary>Vapour over the open cup: Clausius-Clapeyron at the surface, a stagnant (Stefan) film up to the test flame, a flammability limit to compare with.</summary>
/// <remarks>
/// Film and limit as in open-cup work with linear vapour profiles (UCRL-89723, 1984) and Zabetakis's temperature rule for lower limits (value from memory).
/// A literature flash point is never computed: the vapour pressure is set so that the tester's own thermometer, on the method's nominal ramp
/// at standard pressure, reads the flash point asked for when the flame's ratio reaches 1, because that reading is what the method defines.
/// </remarks>
internal sealed class VapourModel
{
    /// <summary>Below this ratio of vapour to flammability limit the test flame shows nothing; value assumed.</summary>
    public const double HaloFrom = 0.85;

    private const double GasConstant = 8.314462618;

    // Freeboard 9.5 mm, flame 2 mm above the rim, boundary layer 8 mm above the rim: 1 - 11.5/17.5. Layer thickness assumed (still air).
    private const double FilmShare = 0.343;

    private const double LimitAt25 = 0.008; // mole fraction, heavy hydrocarbons 0.7 to 0.9 vol %, assumed

    // L²/(π² D): 16 mm of film, D = 1.2e-5 m²/s at 490 K (assumed)
    private const double FilmLagSeconds = 2.2;

    private readonly double pressureKilopascals;
    private readonly double latentJoulesPerMole;
    private readonly double referenceKelvin;
    private readonly double referenceKilopascals;
    private readonly double readingLagCelsius;
    private double filmFraction;

    public VapourModel(SimulatorOptions options)
    {
        pressureKilopascals = options.StationPressureKilopascals;
        // Fresh portions have come to rest; nothing lags there.
        readingLagCelsius = options.IsEquilibrium ? 0 : RampProfile.NominalPerMinute(options) / 60 * (options.Thermometer.LagSeconds - FilmLagSeconds);
        var surface = options.FlashCelsius + readingLagCelsius;
        referenceKelvin = surface + 273.15;

        // 85 kJ/mol at 220 °C (typical of lubricating oils, assumed), in proportion to the absolute temperature (Trouton's rule): a higher flash point means heavier molecules.
        latentJoulesPerMole = 85_000 * referenceKelvin / 493.15;
        var atSurface = 1 - Math.Pow(1 - Limit(surface), 1 / FilmShare);
        referenceKilopascals = atSurface * options.Method.Barometric.StandardKilopascals;
        FireRatio = options.FireCelsius is { } fire
            ? Ratio(fire + readingLagCelsius, options.Method.Barometric.StandardKilopascals)
            : double.PositiveInfinity;
    }

    /// <summary>Vapour at the flame over its flammability limit, now; 1 at the flash point.</summary>
    public double CurrentRatio { get; private set; }

    /// <summary>The ratio from which the surface keeps burning.</summary>
    public double FireRatio { get; }

    /// <summary>Heat taken by evaporation, W: flux c D ln(1/(1 - y)) / L over the surface, c = P/(R T).</summary>
    public double EvaporationWatts { get; private set; }

    /// <summary>Lets the film follow the surface for one step.</summary>
    public void Step(double surfaceCelsius, double seconds)
    {
        var atSurface = Math.Min(0.99, SaturationKilopascals(surfaceCelsius) / pressureKilopascals);
        filmFraction += (AtFlame(atSurface) - filmFraction) * Math.Min(1, seconds / FilmLagSeconds);
        CurrentRatio = filmFraction / Limit(surfaceCelsius);
        var molesPerCubicMetre = pressureKilopascals * 1000 / (GasConstant * (surfaceCelsius + 273.15));
        EvaporationWatts = latentJoulesPerMole * 3.17e-3 * molesPerCubicMetre * 1.2e-5 * -Math.Log(1 - atSurface) / 0.0175;
    }

    /// <summary>A pass of the flame stirs the film away; it builds up again within seconds.</summary>
    public void Strip() => filmFraction *= 0.4;

    /// <summary>The cup was emptied and cleaned, or a fresh test portion charged: no vapour yet.</summary>
    public void Clear() => (filmFraction, CurrentRatio, EvaporationWatts) = (0, 0, 0);

    /// <summary>The reading at which the ratio reaches 1 on the nominal ramp at a pressure, °C: a flash point free of the application interval.</summary>
    public double FlashReadingCelsius(double kilopascals) => Solve(1, kilopascals);

    /// <summary>The same for the fire ratio, °C.</summary>
    public double FireReadingCelsius(double kilopascals) => Solve(FireRatio, kilopascals);

    private double Solve(double ratio, double kilopascals)
    {
        double low = -50, high = 500;
        for (var halving = 0; halving < 60; halving++)
        {
            var middle = (low + high) / 2;
            (low, high) = Ratio(middle, kilopascals) < ratio ? (middle, high) : (low, middle);
        }

        return low - readingLagCelsius;
    }

    private double Ratio(double surfaceCelsius, double kilopascals) =>
        AtFlame(Math.Min(0.99, SaturationKilopascals(surfaceCelsius) / kilopascals)) / Limit(surfaceCelsius);

    private double SaturationKilopascals(double celsius) =>
        referenceKilopascals * Math.Exp(latentJoulesPerMole / GasConstant * ((1 / referenceKelvin) - (1 / (celsius + 273.15))));

    private static double AtFlame(double atSurface) => 1 - Math.Pow(1 - atSurface, FilmShare);

    private static double Limit(double celsius) => LimitAt25 * (1 - (7.21e-4 * (celsius - 25)));
}
