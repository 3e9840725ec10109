using Acquire.Core.Methods;

namespace Acquire.Simulator;

/// <summary>Flash and fire points of specimens of known liquids: consequences of liquid, cup and pressure.</summary>
public static class SpecimenRuns
{
    /// <summary>The same options for a specimen, with the flash point, and in an open cup whose method asks for it the fire point, that the tester will read at standard pressure.</summary>
    public static SimulatorOptions WithSpecimen(this SimulatorOptions options, Specimen specimen)
    {
        ArgumentNullException.ThrowIfNull(options);
        var standard = options.Method.Barometric.StandardKilopascals;

        // The method's rate, and with it the thermometer's lag, may depend on the flash point: without any lag it is near enough for that.
        var still = FlashCelsius(specimen, standard, VapourSpace.Of(options.Method));
        var bare = options with { Specimen = specimen, FlashCelsius = still, FireCelsius = null };
        if (bare.Aim.Check(bare.Method, MethodCatalog.All).Count > 0)
        {
            // What is wrong is told by the check of the options; no ramp can be had from them.
            return bare;
        }

        var vapour = new VapourModel(bare);
        return bare with
        {
            FlashCelsius = vapour.FlashReadingCelsius(standard),
            FireCelsius = options.Method is { Cup: CupKind.Open, FirePoint.Determined: true } ? vapour.ReadingCelsius(VapourModel.SpecimenFireRatio, standard) : null,
        };
    }

    /// <summary>Closed-cup flash point in equilibrium: no ramp, no thermometer, °C.</summary>
    /// <param name="specimen">The specimen.</param>
    /// <param name="kilopascals">Pressure, kPa, above 0.</param>
    public static double ClosedFlashCelsius(this Specimen specimen, double kilopascals) => FlashCelsius(specimen, kilopascals, VapourSpace.UnderLid);

    /// <summary>Open-cup flash point with the surface at one temperature: no ramp, no thermometer, °C.</summary>
    /// <param name="specimen">The specimen.</param>
    /// <param name="kilopascals">Pressure, kPa, above 0.</param>
    public static double OpenFlashCelsius(this Specimen specimen, double kilopascals) => FlashCelsius(specimen, kilopascals, VapourSpace.OpenFilm);

    private static double FlashCelsius(Specimen specimen, double kilopascals, VapourSpace space)
    {
        ArgumentNullException.ThrowIfNull(specimen);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(kilopascals);
        return space.FlashCelsius(new SpecimenVapour(specimen), kilopascals);
    }
}
