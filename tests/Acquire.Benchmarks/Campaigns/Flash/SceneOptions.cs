namespace Acquire.Benchmarks.Campaigns.Flash;

/// <summary>What a drawn sequence of passes looks like to the ignition detectors. Heights in standard deviations (sigma) of one reading of the deciding detector.</summary>
/// <remarks>Written apart from the simulator of the product and from the detection: neither knows of it.</remarks>
internal sealed record SceneOptions
{
    /// <summary>One detector that sees everything.</summary>
    public static SceneOptions OneDetector { get; } = new();

    /// <summary>An electrode that sees less of the pass and little of the halo, confirmed by a detector that sees all of both.</summary>
    public static SceneOptions TwoDetectors { get; } = new() { Two = true, PassSigma = 6, CouplingFrom = 0.03, CouplingTo = 0.12 };

    /// <summary>The same with a halo of any height at every pass.</summary>
    /// <param name="from">Least width at half height, s.</param>
    /// <param name="to">Greatest width, s.</param>
    public SceneOptions WithHalo(double from, double to) => this with { HaloAlways = true, HaloFromSeconds = from, HaloToSeconds = to };

    /// <summary>The drift is pulled back within this time, s.</summary>
    public const double DriftPullSeconds = 60;

    /// <summary>Readings a second.</summary>
    public double RowsPerSecond { get; init; } = 50;

    /// <summary>Share of the time between readings within which their times scatter evenly, 0 to below 1.</summary>
    public double TimeScatter { get; init; }

    /// <summary>Passes without a flash; one with a flash follows them where <see cref="FlashSigma"/> is above 0.</summary>
    public int BarePasses { get; init; } = 12;

    /// <summary>Peak of the flash: 20 ms to rise, a hold, 50 ms to fall.</summary>
    public double FlashSigma { get; init; } = 8;

    public double FlashHoldSeconds { get; init; } = 0.08;

    /// <summary>A second detector confirms; the first is then the one that sees little of the halo.</summary>
    public bool Two { get; init; }

    /// <summary>Peak of the test flame's own warmth in the deciding detector, 0.6 s wide; the confirming one sees 10.</summary>
    public double PassSigma { get; init; } = 10;

    /// <summary>Peak of the largest halo in a detector that sees all of it.</summary>
    public double HaloSigma { get; init; } = 15;

    public double HaloFromSeconds { get; init; } = 0.5;

    public double HaloToSeconds { get; init; } = 0.8;

    /// <summary>Share of the halo that the deciding detector sees, drawn for each run.</summary>
    public double CouplingFrom { get; init; } = 1;

    public double CouplingTo { get; init; } = 1;

    /// <summary>Whether every pass carries a halo of any height, instead of one that grows towards the flash.</summary>
    public bool HaloAlways { get; init; }

    public double WhiteShare { get; init; } = 0.6;

    public double MemorySeconds { get; init; } = 0.3;

    /// <summary>Rate of the drift, sigma a second; it changes within some ten seconds.</summary>
    public double DriftSigma { get; init; } = 1;

    public double HumSigma { get; init; } = 1;

    public double HumHertz { get; init; } = 50.03;

    /// <summary>Share of the passes with a draught: flicker of one sigma at 1 to 4 Hz.</summary>
    public double DraughtShare { get; init; } = 0.3;

    public double DraughtSigma { get; init; } = 1;

    /// <summary>Waves that a draught's flicker is made of: a few keep their beat while a pass lasts, many keep none.</summary>
    public int DraughtWaves { get; init; } = 3;

    /// <summary>Single readings of 10 to 40 sigma, a second.</summary>
    public double SpikesPerSecond { get; init; } = 0.05;

    /// <summary>Time from pass to pass.</summary>
    public double IntervalSeconds { get; init; } = 16;
}
