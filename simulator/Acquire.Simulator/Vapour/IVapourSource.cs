namespace Acquire.Simulator;

/// <summary>What gives off the vapour over a simulated cup: an oil made to order, or a specimen of known liquids.</summary>
internal interface IVapourSource
{
    /// <summary>The vapour in equilibrium with the liquid's surface.</summary>
    /// <param name="celsius">Temperature of the surface, °C.</param>
    /// <param name="kilopascals">Pressure of the room, kPa.</param>
    SurfaceVapour At(double celsius, double kilopascals);

    /// <summary>Heat that a mole of this vapour takes, J/mol.</summary>
    double LatentJoulesPerMole(double celsius);

    /// <summary>Vapour leaves for good.</summary>
    /// <param name="moles">How much, mol.</param>
    /// <param name="celsius">Temperature of the surface, °C.</param>
    void Evaporate(double moles, double celsius);

    /// <summary>A fresh test portion.</summary>
    void Renew();
}

/// <summary>Vapour at the surface of a liquid.</summary>
/// <param name="Fraction">Mole fraction of all vapours together, 0 to 0.99.</param>
/// <param name="Limit">At which fraction of a mixture like this a flame spreads.</param>
internal readonly record struct SurfaceVapour(double Fraction, double Limit);
