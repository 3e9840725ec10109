using System.Diagnostics.CodeAnalysis;

namespace Acquire.Simulator;

/// <summary>The pure liquids that the simulator knows.</summary>
/// <remarks>
/// Vapour pressure: Perry's Chemical Engineers' Handbook, 8th edition (2008), table 2-8. Boiling points: handbook values from memory.
/// </remarks>
public static class Liquids
{
    /// <summary>Source of all vapour-pressure coefficients.</summary>
    public const string VapourPressureSource = "Perry's Chemical Engineers' Handbook, 8th ed. (2008), table 2-8";

    private const string Bulletin627 = "Bureau of Mines Bulletin 627 (Zabetakis 1965), value from memory";
    private const string Nfpa497 = "NFPA 497:2008";
    private const string Nfpa325 = "NFPA 325:1994, value from memory";
    private const string Iec = "IEC 60079-20-1:2010";
    private const string Serat = "DIPPR 801 as in Serat et al., Fluid Phase Equilib. 449 (2017) 52";
    private const string LuningPrak = "Luning Prak, J. Chem. Eng. Data 2016 (406.2 K, small-scale closed cup)";

    /// <summary>All of them: alkanes, aromatics, alcohols, water.</summary>
    public static IReadOnlyList<Liquid> All { get; } =
    [
        Hydrocarbon("n-hexane", "110-54-3", 86.18, 68.73, new(104.65, -6995.5, -12.702, 1.2381e-5, 2, 177.83, 507.6), 1.2, new(-23, Nfpa497)),
        Hydrocarbon("n-heptane", "142-82-5", 100.20, 98.42, new(87.829, -6996.4, -9.8802, 7.2099e-6, 2, 182.57, 540.2), 1.05, new(-4, Nfpa497)),
        Hydrocarbon("n-octane", "111-65-9", 114.23, 125.68, new(96.084, -7900.2, -11.003, 7.1802e-6, 2, 216.38, 568.7), 0.95, new(13, Nfpa497)),
        Hydrocarbon("n-nonane", "111-84-2", 128.26, 150.82, new(109.35, -9030.4, -12.882, 7.8544e-6, 2, 219.66, 594.6), 0.85, new(31, Nfpa497)),
        Hydrocarbon("n-decane", "124-18-5", 142.28, 174.15, new(112.73, -9749.6, -13.245, 7.1266e-6, 2, 243.51, 617.7), 0.75, new(49.7, Serat)),
        Hydrocarbon("n-undecane", "1120-21-4", 156.31, 195.93, new(131, -11143, -15.855, 8.1871e-6, 2, 247.57, 639), 0.68, new(65.9, Serat)),
        Hydrocarbon("n-dodecane", "112-40-3", 170.33, 216.32, new(137.47, -11976, -16.698, 8.0906e-6, 2, 263.57, 658), 0.60, new(74, Nfpa325)),
        Hydrocarbon("n-tridecane", "629-50-5", 184.36, 235.47, new(137.45, -12549, -16.543, 7.1275e-6, 2, 267.76, 675), 0.55, new(90, Serat)),
        Hydrocarbon("n-tetradecane", "629-59-4", 198.39, 253.58, new(140.47, -13231, -16.859, 6.5877e-6, 2, 279.01, 693), 0.50, new(100, Nfpa325)),
        Hydrocarbon("n-pentadecane", "629-62-9", 212.41, 270.68, new(135.57, -13478, -16.022, 5.6136e-6, 2, 283.07, 708), 0.46, null),
        Hydrocarbon("n-hexadecane", "544-76-3", 226.44, 286.86, new(156.06, -15015, -18.941, 6.8172e-6, 2, 291.31, 723), 0.43, new(133, LuningPrak)),
        Hydrocarbon("toluene", "108-88-3", 92.14, 110.63, new(76.945, -6729.8, -8.179, 5.3017e-6, 2, 178.18, 591.75), 1.2, new(4, Iec)),
        Hydrocarbon("ethylbenzene", "100-41-4", 106.17, 136.20, new(89.063, -7733.7, -9.917, 5.986e-6, 2, 178.2, 617.15), 1.0, new(23, Serat)),
        Hydrocarbon("o-xylene", "95-47-6", 106.17, 144.43, new(90.405, -7955.2, -10.086, 5.9594e-6, 2, 247.98, 630.3), 1.1, new(30, Iec)),
        Hydrocarbon("m-xylene", "108-38-3", 106.17, 139.12, new(85.099, -7615.9, -9.3072, 5.5643e-6, 2, 225.3, 617), 1.1, new(25, Iec)),
        Hydrocarbon("p-xylene", "106-42-3", 106.17, 138.36, new(88.72, -7741.2, -9.8693, 6.077e-6, 2, 286.41, 616.2), 1.1, new(25, Iec)),
        Hydrocarbon("cumene", "98-82-8", 120.19, 152.41, new(102.81, -8674.6, -11.922, 7.0048e-6, 2, 177.14, 631), 0.88, new(31, Iec)),
        Alcohol("methanol", "67-56-1", 32.04, 64.70, new(82.718, -6904.5, -8.8622, 7.4664e-6, 2, 175.47, 512.5), new(0.067, Bulletin627), new(9, Iec)),
        Alcohol("ethanol", "64-17-5", 46.07, 78.29, new(73.304, -7122.3, -7.1424, 2.8853e-6, 2, 159.05, 514), new(0.033, Nfpa497), new(12, Iec)),
        Alcohol("1-propanol", "71-23-8", 60.10, 97.20, new(84.6642, -8307.2, -8.5767, 7.5091e-18, 6, 146.95, 536.8), new(0.022, Nfpa497), new(23, "common safety data, value from memory")),
        Alcohol("1-butanol", "71-36-3", 74.12, 117.66, new(106.295, -9866.4, -11.655, 1.0832e-17, 6, 183.85, 563.1), new(0.014, Nfpa497), new(35, Iec)),
        Alcohol("1-pentanol", "71-41-0", 88.15, 137.80, new(114.748, -10643, -12.858, 1.2491e-17, 6, 195.56, 588.1), new(0.012, Nfpa497), new(42, Iec)),
        new("water", "7732-18-5", LiquidKind.Water, 18.015, 99.97, new(73.649, -7258.2, -7.3037, 4.1653e-6, 2, 273.16, 647.096), null, null),
    ];

    /// <summary>All names, joined by commas.</summary>
    public static string AllNames { get; } = string.Join(", ", All.Select(liquid => liquid.Name));

    /// <summary>Finds a liquid by its name, letter for letter.</summary>
    public static bool TryFind(string name, [NotNullWhen(true)] out Liquid? liquid)
    {
        liquid = All.FirstOrDefault(known => known.Name == name);
        return liquid is not null;
    }

    private static Liquid Hydrocarbon(string name, string cas, double grams, double boiling, VapourPressure pressure, double percent, PublishedFlash? published) =>
        new(name, cas, LiquidKind.Hydrocarbon, grams, boiling, pressure, new(percent / 100, Bulletin627), published);

    private static Liquid Alcohol(string name, string cas, double grams, double boiling, VapourPressure pressure, LowerLimit limit, PublishedFlash? published) =>
        new(name, cas, LiquidKind.Alcohol, grams, boiling, pressure, limit, published);
}
