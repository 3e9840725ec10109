using Acquire.Core.Methods;
using Acquire.Core.Readings;
using Acquire.Core.Runs;

namespace Acquire.Core.Tests.Traces;

/// <summary>A made-up run, independent of the simulator: other shapes, any unit, any rate, and a fault where a test wants one.</summary>
/// <remarks>Heights are in units of which <see cref="Noise"/> is the deviation of one reading. All figures are ours: common practice, no source.</remarks>
internal sealed record BenchTrace
{
    public MethodDefinition Method { get; init; } = MethodCatalog.TryFind("iso-2592-2017", out var iso) ? iso : throw new InvalidOperationException();

    public double ExpectedCelsius { get; init; } = 226;

    /// <summary>The first application at or above this temperature flashes, °C; null: none does.</summary>
    public double? FlashCelsius { get; init; } = 225.5;

    /// <summary>The first application at or above this temperature sets the specimen on fire, °C; null: none does.</summary>
    public double? FireCelsius { get; init; } = 235.5;

    /// <summary>How long the applications before the fire burn, s, last one last.</summary>
    public IReadOnlyList<double> ShortBurns { get; init; } = [];

    public double StartCelsius { get; init; } = 156;

    /// <summary>Ramp rate at a temperature, °C/min; null: 15, eased to 5.5 between 50 and 35 °C below the expected flash point.</summary>
    public Func<double, double>? RateAt { get; init; }

    /// <summary>Where the first application is made, °C; null: where the method schedules it.</summary>
    public double? FirstApplicationCelsius { get; init; }

    /// <summary>Applications that are left out, counted from 0 by schedule.</summary>
    public IReadOnlyList<int> LeftOut { get; init; } = [];

    /// <summary>Rise added before an application, °C, counted from 0 by schedule.</summary>
    public Func<int, double> LateBy { get; init; } = _ => 0;

    public Func<int, double> PassSeconds { get; init; } = _ => 1;

    /// <summary>Applications after the first flash when there is no fire.</summary>
    public int ApplicationsAfterFlash { get; init; } = 2;

    /// <summary>How long the fire burns until it is covered, s.</summary>
    public double FireSeconds { get; init; } = 8;

    /// <summary>Record that follows the cover, the last application or the end of the ramp, s.</summary>
    public double TailSeconds { get; init; } = 20;

    /// <summary>Heating ends here when nothing ends it sooner, °C.</summary>
    public double HottestCelsius { get; init; } = 246;

    public double PerSecond { get; init; } = 50;

    /// <summary>Readings spaced by half to one and a half of their mean spacing.</summary>
    public bool Uneven { get; init; }

    public bool HasFlame { get; init; } = true;

    public double Noise { get; init; } = 0.5;

    public double Unit { get; init; } = 1;

    public double Offset { get; init; } = 100;

    public PulseShape PassShape { get; init; } = PulseShape.Gaussian;

    public double PassHeight { get; init; } = 8;

    public PulseShape HaloShape { get; init; } = PulseShape.HalfSine;

    /// <summary>Height of the halo just below the flash point; it grows over the last 10 °C.</summary>
    public double HaloHeight { get; init; } = 8;

    public PulseShape FlashShape { get; init; } = PulseShape.Decay;

    public double FlashHeight { get; init; } = 40;

    /// <summary>Width of the flash at half height, s.</summary>
    public double FlashWidth { get; init; } = 0.12;

    public double BurnHeight { get; init; } = 60;

    /// <summary>Pulses that belong to no application.</summary>
    public IReadOnlyList<BenchPulse> Strays { get; init; } = [];

    public double ThermometerNoise { get; init; } = 0.05;

    public double ThermometerStep { get; init; } = 0.1;

    public int Seed { get; init; } = 1;

    public double? Kilopascals { get; init; } = 101.3;

    public RunPlan Plan => new() { Method = Method, ExpectedFlashCelsius = ExpectedCelsius, StationPressureKilopascals = Kilopascals, HasFlameSignal = HasFlame };

    public RunRules Rules => Plan.Rules;

    public double RateOf(double celsius) => RateAt?.Invoke(celsius) ?? (5.5 + (9.5 * Math.Clamp((ExpectedCelsius - 35 - celsius) / 15, 0, 1)));

    /// <summary>Makes the run.</summary>
    public BenchRun Make() => BenchRunMaker.Make(this);
}

/// <summary>A trace that was made, with what is true of it.</summary>
/// <param name="Trace">What it was made from.</param>
/// <param name="Rows">Its readings.</param>
/// <param name="Passes">Each application.</param>
/// <param name="Flash">The first flash; null without one.</param>
/// <param name="Fire">The fire; null without one.</param>
internal sealed record BenchRun(BenchTrace Trace, ReadingRow[] Rows, IReadOnlyList<BenchPass> Passes, BenchPass? Flash, BenchPass? Fire)
{
    /// <summary>Judges the readings as they are, or as a test has changed them.</summary>
    public Judged Judge(IEnumerable<ReadingRow>? rows = null, RunPlan? plan = null)
    {
        var outputs = new List<RunOutput>();
        var result = RunReplay.Run(plan ?? Trace.Plan, rows ?? Rows, outputs);
        return new Judged(result, outputs);
    }
}

/// <summary>One application of a made-up run.</summary>
/// <param name="Start">When the flame came over the cup, s.</param>
/// <param name="Seconds">How long it stayed, s.</param>
/// <param name="Celsius">Specimen temperature then, °C.</param>
/// <param name="Onset">When something ignited, s; null where nothing did.</param>
/// <param name="Burned">How long it burned, s.</param>
internal sealed record BenchPass(double Start, double Seconds, double Celsius, double? Onset, double Burned);
