namespace Acquire.Simulator;

/// <summary>An oil made to order: one pseudo-component whose vapour pressure is set so that the flash point comes where it is asked for.</summary>
internal sealed class MadeToOrderOil : IVapourSource
{
    private const double GasConstant = 8.314462618;

    private const double LimitAt25 = 0.008; // mole fraction, heavy hydrocarbons 0.7 to 0.9 vol %, assumed

    private readonly double latentJoulesPerMole;
    private readonly double referenceKelvin;
    private readonly double referenceKilopascals;

    /// <param name="surfaceCelsius">Temperature of the surface at the flash point, °C.</param>
    /// <param name="space">What lies between surface and flame.</param>
    /// <param name="standardKilopascals">The pressure that the flash point belongs to, kPa.</param>
    public MadeToOrderOil(double surfaceCelsius, VapourSpace space, double standardKilopascals)
    {
        referenceKelvin = surfaceCelsius + 273.15;

        // 85 kJ/mol at 220 °C (typical of lubricating oils, assumed), in proportion to the absolute temperature (Trouton's rule): a higher flash point means heavier molecules.
        latentJoulesPerMole = 85_000 * referenceKelvin / 493.15;
        referenceKilopascals = space.AtSurface(Limit(surfaceCelsius)) * standardKilopascals;
    }

    public SurfaceVapour At(double celsius, double kilopascals) => new(Math.Min(0.99, SaturationKilopascals(celsius) / kilopascals), Limit(celsius));

    public double LatentJoulesPerMole(double celsius) => latentJoulesPerMole;

    // One component stays what it is, and a run takes next to nothing of it.
    public void Evaporate(double moles, double celsius)
    {
    }

    public void Renew()
    {
    }

    private double SaturationKilopascals(double celsius) =>
        referenceKilopascals * Math.Exp(latentJoulesPerMole / GasConstant * ((1 / referenceKelvin) - (1 / (celsius + 273.15))));

    private static double Limit(double celsius) => LimitAt25 * LowerLimit.TemperatureRule(celsius);
}
