namespace Acquire.Simulator;

/// <summary>Interaction of two liquids in the NRTL equation of Renon and Prausnitz (AIChE J. 14, 1968, 135).</summary>
/// <param name="First">Name of the first liquid.</param>
/// <param name="Second">Name of the second liquid.</param>
/// <param name="FirstSecond">g12 - g22, cal/mol.</param>
/// <param name="SecondFirst">g21 - g11, cal/mol.</param>
/// <param name="Alpha">Non-randomness.</param>
/// <param name="Source">Volume and page of the collection.</param>
public sealed record NrtlPair(string First, string Second, double FirstSecond, double SecondFirst, double Alpha, string Source);

/// <summary>The pairs of unlike liquids whose activity coefficients are known.</summary>
/// <remarks>
/// From the DECHEMA Vapor-Liquid Equilibrium Data Collection (Gmehling and Onken), fits at 1 atm, as collected in a public table of 2008.
/// Pairs that part into two liquids at room temperature are left out: one equilibrium cannot describe them.
/// </remarks>
public static class NrtlPairs
{
    /// <summary>All of them.</summary>
    public static IReadOnlyList<NrtlPair> All { get; } =
    [
        new("methanol", "water", -189.0469, 792.8020, 0.2999, "vol. 1/1a, p. 61"),
        new("ethanol", "water", -57.9601, 1241.7396, 0.2937, "vol. 1/1a"),
        new("methanol", "toluene", 939.7275, 1090.9297, 0.4643, "vol. 1/2c, p. 237"),
        new("methanol", "p-xylene", 974.6545, 851.1070, 0.2921, "vol. 1/2c, p. 247"),
        new("n-hexane", "ethanol", 1218.1065, 575.2985, 0.2882, "vol. 1/2c, p. 437"),
        new("ethanol", "n-heptane", 1137.2650, 1453.5947, 0.4786, "vol. 1/2c, p. 459"),
        new("ethanol", "n-octane", 1206.8097, 1385.3721, 0.4717, "vol. 1/2c, p. 466"),
        new("ethanol", "toluene", 713.5653, 1147.8607, 0.5292, "vol. 1/2c, p. 444"),
        new("ethanol", "ethylbenzene", 801.7191, 1006.8831, 0.4962, "vol. 1/2c, p. 460"),
        new("ethanol", "p-xylene", 768.3633, 760.0800, 0.2914, "vol. 1/2c, p. 461"),
        new("1-propanol", "n-heptane", 1198.9720, 1377.2975, 0.5193, "vol. 1/2c, p. 573"),
        new("1-propanol", "n-octane", 1109.3040, 334.2112, 0.2907, "vol. 1/2c, p. 576"),
        new("1-propanol", "n-decane", 945.3159, 520.2926, 0.2895, "vol. 1/2c, p. 577"),
    ];

    /// <summary>The pairs as words, joined by commas.</summary>
    public static string AllWords { get; } = string.Join(", ", All.Select(pair => $"{pair.First} + {pair.Second}"));

    /// <summary>Whether two liquids mix ideally: like molecules do.</summary>
    public static bool IsIdeal(Liquid one, Liquid other)
    {
        ArgumentNullException.ThrowIfNull(one);
        ArgumentNullException.ThrowIfNull(other);
        return one.Kind == other.Kind;
    }

    /// <summary>The pair in either order; null where it is not known.</summary>
    public static NrtlPair? Find(string one, string other) =>
        All.FirstOrDefault(pair => (pair.First == one && pair.Second == other) || (pair.First == other && pair.Second == one));
}
