namespace Acquire.Simulator;

/// <summary>Lower flammable limit of a vapour in air.</summary>
/// <param name="MoleFractionAt25">For a flame that climbs, at 25 °C, mole fraction.</param>
/// <param name="Source">Where it was published.</param>
public sealed record LowerLimit(double MoleFractionAt25, string Source)
{
    // A flame in a cup has to spread sideways and down. Bureau of Mines Bulletin 503 (Coward and Jones 1952), pentane: 1.48 % down over 1.42 % up. Value from memory.
    private const double DownOverUp = 1.04;

    /// <summary>The limit in a test cup at a temperature of the specimen, mole fraction.</summary>
    /// <param name="celsius">Temperature, °C.</param>
    public double InCup(double celsius) => DownOverUp * MoleFractionAt25 * TemperatureRule(celsius);

    /// <summary>Burgess, Wheeler and Zabetakis: a warmer mixture burns from a little less fuel. 1 at 25 °C.</summary>
    /// <remarks>Limit times heat of combustion, plus what the mixture brings along as heat, is constant: 7.21e-4 per °C (Bulletin 627, value from memory).</remarks>
    internal static double TemperatureRule(double celsius) => 1 - (7.21e-4 * (celsius - 25));
}
