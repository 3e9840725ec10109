using System.Text.Json.Serialization;

namespace Acquire.Simulator;

/// <summary>What the ignition detector sees and how badly. Signals are in standard deviations (sigma) of the noise of one reading, whatever the reading rate.</summary>
public sealed record DetectorScene
{
    /// <summary>A good detector: the flash stands clear of everything else.</summary>
    public static DetectorScene Clear { get; } = new();

    /// <summary>A poor one: a flash of 8 sigma and 150 ms below the pass and the halo, with drift, hum, draughts and spikes.</summary>
    public static DetectorScene Hard { get; } = new()
    {
        PassSigma = 10,
        FlashSigma = 8,
        FlashTailSeconds = 0,
        BurnSigma = 20,
        DriftSigma = 1,
        HumSigma = 1,
        DraughtShare = 0.3,
        SpikesPerSecond = 0.05,
    };

    /// <summary>Resting value, in the detector's own unit, -1e6 to 1e6.</summary>
    public double Baseline { get; init; } = 1200;

    /// <summary>Detector units for one sigma, 1e-3 to 1e5; positive, so light is always more.</summary>
    public double UnitsPerSigma { get; init; } = 4;

    /// <summary>Step of the converter in detector units, 1e-4 to 1e4.</summary>
    public double StepUnits { get; init; } = 0.1;

    /// <summary>Share of the noise variance that has no memory, 0 to 1; the rest is autoregressive with a memory of 0.3 s.</summary>
    public double WhiteShare { get; init; } = 0.6;

    /// <summary>Drift of the resting value, sigma per root second, 0 to 10; pulled back within about a minute.</summary>
    public double DriftSigma { get; init; } = 0.3;

    /// <summary>Amplitude of mains hum, sigma, 0 to 20.</summary>
    public double HumSigma { get; init; } = 0.2;

    /// <summary>Mains frequency, Hz, 45 to 65. At a reading rate of 50 Hz it folds down to a slow wave.</summary>
    public double HumHertz { get; init; } = 50.03;

    /// <summary>Share of the passes during which a draught makes the test flame flicker by one sigma at 1 to 4 Hz, 0 to 1.</summary>
    public double DraughtShare { get; init; }

    /// <summary>Single wild readings of 10 to 40 sigma per second, 0 to 1.</summary>
    public double SpikesPerSecond { get; init; }

    /// <summary>Peak of the test flame's own warmth at each pass, sigma, 0 to 200; 0.6 s wide at half height.</summary>
    public double PassSigma { get; init; } = 8;

    /// <summary>Peak of the halo right at the flash point, sigma, 0 to 200; 0.4 to 0.8 s wide at half height.</summary>
    public double HaloSigma { get; init; } = 15;

    /// <summary>Peak of a flash, sigma, 1 to 2000; 150 ms long.</summary>
    public double FlashSigma { get; init; } = 40;

    /// <summary>How fast the glow after a flash fades, s, 0 (no glow) to 2.</summary>
    public double FlashTailSeconds { get; init; } = 0.15;

    /// <summary>Level of burning, sigma, 1 to 5000; it flickers at 1 to 6 Hz.</summary>
    public double BurnSigma { get; init; } = 60;

    /// <summary>How a thermal detector sees all this; null for <see cref="DetectorView.Thermal"/>. It has a resting value, unit, step and pass of its own.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public DetectorView? Thermal { get; init; }

    /// <summary>How an ionisation detector sees it; null for <see cref="DetectorView.Ionisation"/>.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public DetectorView? Ionisation { get; init; }

    /// <summary>How a detector of a kind sees it; null for the plain one, which the figures above describe.</summary>
    internal DetectorView? ViewOf(DetectorKind kind) => kind switch
    {
        DetectorKind.Thermal => Thermal ?? DetectorView.Thermal,
        DetectorKind.Ionisation => Ionisation ?? DetectorView.Ionisation,
        _ => null,
    };
}
