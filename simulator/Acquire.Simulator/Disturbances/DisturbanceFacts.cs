namespace Acquire.Simulator;

/// <summary>What there is to know about a kind of disturbance.</summary>
/// <param name="Kind">The kind.</param>
/// <param name="Word">Its word on a command line.</param>
/// <param name="What">What happens.</param>
/// <param name="Strength">What the strength is, with its unit; empty where the kind has none.</param>
/// <param name="Usual">The strength where none is given.</param>
/// <param name="Least">The least strength.</param>
/// <param name="Most">The greatest strength.</param>
/// <param name="Origin">Where the usual strength comes from.</param>
public sealed record DisturbanceFacts(DisturbanceKind Kind, string Word, string What, string Strength, double Usual, double Least, double Most, string Origin)
{
    private const string Scene = "noise model that the detection was designed with; assumed";

    /// <summary>All kinds, in the order of their enum.</summary>
    public static IReadOnlyList<DisturbanceFacts> All { get; } =
    [
        new(DisturbanceKind.Draught, "draught", "gusts of 2 to 6 s make the test flame flicker at 1 to 4 Hz; an air sensor shows 0.8 m/s", "standard deviation, sigma", 1, 0.1, 20, Scene),
        new(DisturbanceKind.Hum, "hum", "mains hum in the detector's wires, folded down by the reading rate", "amplitude, sigma", 1, 0.1, 50, Scene),
        new(DisturbanceKind.Spikes, "spikes", "single wild readings of 10 to 40 sigma, upwards or downwards", "how many a second", 0.05, 0.001, 5, Scene),
        new(DisturbanceKind.Drift, "drift", "the detector's resting value wanders, and is pulled back within about a minute", "wandering, sigma in a second", 1, 0.1, 20, Scene),
        new(DisturbanceKind.Saturation, "saturation", "the detector's converter goes no higher", "end of the converter above the resting value, sigma", 12, 1, 500, "assumed: below a pass with its halo"),
        new(DisturbanceKind.WeakFlash, "weak-flash", "flashes are faint", "height, sigma", 8, 1, 200, Scene),
        new(DisturbanceKind.LateFlash, "late-flash", "the vapour lights only after the test flame has left", "delay after the flame left, ms", 300, 0, 2000, "assumed"),
        new(DisturbanceKind.DoubleFlash, "double-flash", "each flash is followed by another, 0.5 to 1 times as high", "delay after the first, ms", 300, 160, 1500, "assumed"),
        new(DisturbanceKind.FastHalo, "fast-halo", "the halo is brief: usually 0.15 to 0.3 s wide at half height", "how many times briefer", 2.67, 1, 5, "assumed: as brief as a flash"),
    ];

    /// <summary>The kinds as words.</summary>
    public static string AllWords { get; } = string.Join(", ", All.Select(facts => facts.Word));

    /// <summary>What there is to know about a kind.</summary>
    public static DisturbanceFacts Of(DisturbanceKind kind) => All[(int)kind];
}
