namespace Acquire.Simulator;

/// <summary>Vapour over a simulated cup: equilibrium at the surface, a film or a lid up to the test flame, a flammable limit to compare with.</summary>
/// <remarks>
/// Of a specimen of known liquids everything follows. An oil made to order has its vapour pressure set so that the tester's own thermometer,
/// on the method's nominal ramp at standard pressure, reads the flash point asked for when the flame's ratio reaches 1, because that reading is what the method defines.
/// </remarks>
internal sealed class VapourModel
{
    /// <summary>Below this ratio of vapour to flammability limit the test flame shows nothing; value assumed.</summary>
    public const double HaloFrom = 0.85;

    /// <summary>From this ratio on the surface of a specimen of known liquids keeps burning: about 1.5 times the lower limit for alkanes (value from memory, after Ishida and Iwama 1986); assumed for all.</summary>
    public const double SpecimenFireRatio = 1.5;

    private const double GasConstant = 8.314462618;

    private readonly double pressureKilopascals;
    private readonly double standardKilopascals;
    private readonly double readingLagCelsius;
    private readonly VapourSpace space;
    private readonly IVapourSource source;
    private readonly IVapourSource fresh;
    private readonly Specimen? specimen;
    private double filmFraction;

    public VapourModel(SimulatorOptions options)
    {
        space = VapourSpace.Of(options.Method);
        specimen = options.Specimen;
        IsStirred = options.Method.Stirring is not null;
        pressureKilopascals = options.StationPressureKilopascals;
        standardKilopascals = options.Method.Barometric.StandardKilopascals;

        // Fresh portions have come to rest; nothing lags there.
        readingLagCelsius = options.IsEquilibrium ? 0 : RampProfile.NominalPerMinute(options) / 60 * (options.Thermometer.LagSeconds - LagSeconds);
        fresh = Source(options);
        source = Source(options);
        FireRatio = options.FireCelsius is not { } fire ? double.PositiveInfinity
            : specimen is not null ? SpecimenFireRatio
            : space.Ratio(fresh, fire + readingLagCelsius, standardKilopascals);
    }

    /// <summary>Vapour at the flame over its flammability limit, now; 1 at the flash point.</summary>
    public double CurrentRatio { get; private set; }

    /// <summary>The ratio from which the surface keeps burning.</summary>
    public double FireRatio { get; }

    /// <summary>Heat taken by evaporation, W: flux c D ln(1/(1 - y)) / L over the surface, c = P/(R T); none under a lid.</summary>
    public double EvaporationWatts { get; private set; }

    /// <summary>Whether the stirrer turns.</summary>
    public bool IsStirred { get; set; }

    /// <summary>What is known of the specimen; null for an oil made to order.</summary>
    public SpecimenTruth? Told => specimen is null ? null : new()
    {
        Parts = [.. specimen.Parts.Select((part, index) => new SpecimenPartTruth(part.Liquid.Name, part.Liquid.Cas, part.MoleFraction, Math.Round(((SpecimenVapour)source).Fractions[index], 6)))],
        FlashCelsius = Math.Round(Solve(1, standardKilopascals), 4),
        FlashAtStationCelsius = Math.Round(Solve(1, pressureKilopascals), 4),
        FireRatioAssumed = double.IsFinite(FireRatio) ? FireRatio : null,
    };

    private double LagSeconds => IsStirred ? space.StirredLagSeconds : space.StillLagSeconds;

    /// <summary>Lets the vapour follow the surface for one step.</summary>
    public void Step(double surfaceCelsius, double seconds)
    {
        var (atSurface, limit) = source.At(surfaceCelsius, pressureKilopascals);
        filmFraction += (space.AtFlame(atSurface) - filmFraction) * Math.Min(1, seconds / LagSeconds);
        CurrentRatio = filmFraction / limit;
        if (!space.IsOpen)
        {
            return;
        }

        var molesPerCubicMetre = pressureKilopascals * 1000 / (GasConstant * (surfaceCelsius + 273.15));
        var latent = source.LatentJoulesPerMole(surfaceCelsius);
        EvaporationWatts = latent * 3.17e-3 * molesPerCubicMetre * 1.2e-5 * -Math.Log(1 - atSurface) / 0.0175;
        source.Evaporate(EvaporationWatts / latent * seconds, surfaceCelsius);
    }

    /// <summary>The flame has passed, and has stirred vapour away.</summary>
    public void Strip() => filmFraction *= space.KeptByPass;

    /// <summary>The cup was emptied and cleaned, or a fresh test portion charged: no vapour yet.</summary>
    public void Clear()
    {
        (filmFraction, CurrentRatio, EvaporationWatts) = (0, 0, 0);
        source.Renew();
    }

    /// <summary>The reading at which the ratio of a fresh portion reaches 1 on the nominal ramp at a pressure, °C: a flash point free of the application interval.</summary>
    public double FlashReadingCelsius(double kilopascals) => ReadingCelsius(1, kilopascals);

    /// <summary>The same for the fire ratio, °C.</summary>
    public double FireReadingCelsius(double kilopascals) => ReadingCelsius(FireRatio, kilopascals);

    /// <summary>The same for any ratio, °C.</summary>
    public double ReadingCelsius(double ratio, double kilopascals) => Solve(ratio, kilopascals) - readingLagCelsius;

    private IVapourSource Source(SimulatorOptions options) => options.Specimen is { } known
        ? new SpecimenVapour(known)
        : new MadeToOrderOil(options.FlashCelsius + readingLagCelsius, space, standardKilopascals);

    private double Solve(double ratio, double kilopascals) => space.FlashCelsius(fresh, kilopascals, ratio);
}
