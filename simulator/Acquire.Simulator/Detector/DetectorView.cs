namespace Acquire.Simulator;

/// <summary>How a detector of one kind sees what happens over the cup, where it sits. All figures are assumed; no measured ones were found.</summary>
public sealed record DetectorView
{
    /// <summary>A thin bare thermocouple of about 45 µm over the cup; such a wire has a time constant of some 50 ms in hot gas (computed).</summary>
    public static DetectorView Thermal { get; } = new()
    {
        Baseline = 350,
        UnitsPerSigma = 1.5,
        StepUnits = 0.05,
        PassSigma = 10,
        LagSeconds = 0.05,
    };

    /// <summary>An electrode at the far side of the cup. A flash crosses the whole surface and reaches it; a halo stays round the test flame.</summary>
    public static DetectorView Ionisation { get; } = new()
    {
        PassSigma = 6,
        PassWidthSeconds = 0.5,
        PlaceSeconds = 0.08,
        LeastHaloShare = 0.03,
        MostHaloShare = 0.12,
        LongestTailSeconds = 0.03,
        DraughtShare = 0.5,
    };

    /// <summary>Resting value, in the detector's own unit, -1e6 to 1e6.</summary>
    public double Baseline { get; init; } = 1200;

    /// <summary>Detector units for one sigma, 1e-3 to 1e5.</summary>
    public double UnitsPerSigma { get; init; } = 4;

    /// <summary>Step of the converter in detector units, 1e-4 to 1e4.</summary>
    public double StepUnits { get; init; } = 0.1;

    /// <summary>Peak of the test flame's own warmth at each pass, sigma, 0 to 200.</summary>
    public double PassSigma { get; init; }

    /// <summary>Width of a pass at half height, s, 0.1 to 2.</summary>
    public double PassWidthSeconds { get; init; } = 0.6;

    /// <summary>How much later a flame that comes from the left is seen than in the middle of the pass, s, -0.3 to 0.3; one from the right as much sooner.</summary>
    public double PlaceSeconds { get; init; } = -0.04;

    /// <summary>Least share of the halo that is seen, 0 to 1; the share of each pass lies evenly from it to <see cref="MostHaloShare"/>.</summary>
    public double LeastHaloShare { get; init; } = 1;

    /// <summary>Greatest share of the halo that is seen, 0 to 1.</summary>
    public double MostHaloShare { get; init; } = 1;

    /// <summary>Share of a flash, and of burning, that is seen before any lag, 0 to 2.</summary>
    public double FlashShare { get; init; } = 1;

    /// <summary>The glow after a flash fades at least as fast as this, s, 0 to 2.</summary>
    public double LongestTailSeconds { get; init; } = 2;

    /// <summary>Share of a flickering test flame that is seen, 0 to 1.</summary>
    public double DraughtShare { get; init; } = 1;

    /// <summary>First-order lag behind what happens, s, 0 to 1.</summary>
    public double LagSeconds { get; init; }

    /// <summary>Share of the noise variance that has no memory, 0 to 1.</summary>
    public double WhiteShare { get; init; } = 0.6;
}
