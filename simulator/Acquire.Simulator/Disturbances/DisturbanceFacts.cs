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
    /// <summary>Whether a start and a length mean anything to it.</summary>
    public bool IsTimed { get; init; } = true;

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
        new(DisturbanceKind.Foam, "foam", "foam breaks: slow bumps of 2 to 6 sigma, one in 5 s, and at each pass up to 6 % less vapour, by chance", "multiple of these", 1, 0.1, 5, "assumed"),
        new(DisturbanceKind.WaterPopping, "water-popping", "above 100 °C drops of water turn to steam, one in 5 s: bursts of 20 to 60 ms and 8 to 40 sigma, and the oil is cooled by 0.1 to 0.6 °C", "multiple of how often", 1, 0.1, 10, "assumed; a drop of 0.01 to 0.04 g takes its heat of evaporation from the oil"),
        new(DisturbanceKind.HeaterOvershoot, "heater-overshoot", "from 24 to 6 °C below the expected flash point the tester heats too fast", "multiple of the method's rate", 1.6, 1.05, 3, "assumed") { IsTimed = false },
        new(DisturbanceKind.StuckRelay, "stuck-relay", "the heater never gives less than this; usually from 20 °C below the expected flash point until half a minute after the run, when somebody pulls the plug", "share of its full power", 0.5, 0.1, 1, "assumed"),
        new(DisturbanceKind.FlameOut, "flame-out", "the test flame is out: a pass lights nothing and shows nothing", "", 1, 1, 1, "no strength"),
        new(DisturbanceKind.SelfIgnition, "self-ignition", "the specimen ignites between two passes, usually 4 s after the second that flashed, and burns until it is covered", "burning, s", 8, 0.5, 60, "assumed"),
        new(DisturbanceKind.SensorBreak, "sensor-break", "the thermometer breaks, usually at 600 s: a signal is an open circuit, a tester that sends °C sends none any more", "", 1, 1, 1, "no strength"),
        new(DisturbanceKind.Dropped, "dropped", "messages of 0.02 to 0.4 s are lost", "share of the time, %", 2, 0.1, 90, "assumed"),
        new(DisturbanceKind.Duplicated, "duplicated", "messages of 0.02 to 0.4 s come twice", "share of the time, %", 2, 0.1, 90, "assumed"),
        new(DisturbanceKind.Reordered, "reordered", "halves of a stretch of 0.04 to 0.4 s come in the wrong order", "share of the time, %", 2, 0.1, 90, "assumed"),
        new(DisturbanceKind.ClockJump, "clock-jump", "the tester's clock jumps, usually at 600 s, and after a length back again", "jump, s; negative: back", 30, -3600, 3600, "assumed"),
    ];

    /// <summary>The kinds as words.</summary>
    public static string AllWords { get; } = string.Join(", ", All.Select(facts => facts.Word));

    /// <summary>What there is to know about a kind.</summary>
    public static DisturbanceFacts Of(DisturbanceKind kind) => All[(int)kind];
}
