using System.Text.Json.Serialization;

namespace Acquire.Core.Detection;

/// <summary>Follows the glow after an ignition and says how long the specimen has burned.</summary>
/// <remarks>
/// The glow is smoothed over three hundredths of a second and compared with a share of its own peak, so that it works in any unit.
/// A flame flickers: it may fall below that level for up to <see cref="FlickerSeconds"/> and still be the same burn. Part of a run's snapshot.
/// </remarks>
public sealed class BurnTracker
{
    /// <summary>Longest dark moment inside one burn, s.</summary>
    public const double FlickerSeconds = 0.6;

    private const double SmoothingSeconds = 0.03;
    private const double ShareOfPeak = 0.2;

    [JsonInclude]
    private double _level;

    [JsonInclude]
    private double _peak;

    [JsonInclude]
    private double _previous = double.NaN;

    [JsonInclude]
    private double _baseline;

    [JsonInclude]
    private double _floor;

    /// <summary>Starts to follow from the beginning of a pass.</summary>
    /// <param name="seconds">Beginning of the pass, s.</param>
    /// <param name="baseline">Quiet baseline before it.</param>
    /// <param name="floor">Glow below this is darkness, above the baseline, detector's unit.</param>
    public BurnTracker(double seconds, double baseline, double floor)
    {
        OnsetSeconds = seconds;
        LastGlowSeconds = seconds;
        _baseline = baseline;
        _floor = floor;
    }

    [JsonConstructor]
    private BurnTracker()
    {
    }

    /// <summary>When the burn began, s.</summary>
    [JsonInclude]
    public double OnsetSeconds { get; private set; }

    /// <summary>When it was last seen to glow, s.</summary>
    [JsonInclude]
    public double LastGlowSeconds { get; private set; }

    /// <summary>Whether a pass has been judged to have ignited it.</summary>
    [JsonInclude]
    public bool Ignited { get; private set; }

    /// <summary>Whether the method's seconds have been reached and stated.</summary>
    [JsonInclude]
    public bool Sustained { get; internal set; }

    /// <summary>How long it has burned so far, s.</summary>
    public double BurnedSeconds => LastGlowSeconds - OnsetSeconds;

    /// <summary>States that the pass ignited, and when.</summary>
    public void Ignite(double onsetSeconds)
    {
        Ignited = true;
        OnsetSeconds = onsetSeconds;
        LastGlowSeconds = Math.Max(LastGlowSeconds, onsetSeconds);
    }

    /// <summary>Follows one reading.</summary>
    public void Add(double seconds, double value)
    {
        var weight = double.IsNaN(_previous) ? 1 : 1 - Math.Exp(-(seconds - _previous) / SmoothingSeconds);
        _previous = seconds;
        _level += weight * (value - _baseline - _level);
        _peak = Math.Max(_peak, _level);
        if (_level > Math.Max(_floor, ShareOfPeak * _peak))
        {
            LastGlowSeconds = seconds;
        }
    }

    /// <summary>Whether it has been dark for longer than a flicker.</summary>
    public bool IsOut(double now) => now - LastGlowSeconds > FlickerSeconds;
}
