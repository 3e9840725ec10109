using System.Text.Json.Serialization;

namespace Acquire.Core.Detection;

/// <summary>Watches a rate band: says early when the rate leaves it, and when it is back for certain. Part of a run's snapshot.</summary>
internal sealed class BandWatch
{
    // A rate over a window this many of its own standard uncertainties outside is outside.
    private const double Deviations = 3.5;

    // So long a warm flame is felt, s.
    private const double WarmSeconds = 8;

    [JsonInclude]
    private KinkTest _turns = new();

    [JsonInclude]
    private double _notClearBefore = double.NegativeInfinity;

    /// <summary>What tells that the rate is outside; null where nothing does.</summary>
    /// <param name="ramp">The readings; a point was just completed.</param>
    /// <param name="sinceSeconds">Readings before this time belong to another band, s.</param>
    /// <param name="lowest">Lower end of the band, °C/min; minus infinity where it is not judged.</param>
    /// <param name="highest">Upper end, °C/min.</param>
    /// <param name="tolerance">A rate outside by no more than this is measurement noise, °C/min.</param>
    /// <param name="flameSeconds">When a flame was over the cup last, s.</param>
    public RateSignal? Look(RampEstimator ramp, double sinceSeconds, double lowest, double highest, double tolerance, double flameSeconds)
    {
        var warmed = ramp.NewestSeconds - flameSeconds < WarmSeconds;
        if (_turns.Look(ramp, sinceSeconds, lowest / 60, highest / 60, warmed) is { } kink
            && (kink.SlopePerSecond * 60 > highest + tolerance || kink.SlopePerSecond * 60 < lowest - tolerance))
        {
            // The window holds other seconds from before the turn; it says nothing about the rate since.
            _notClearBefore = kink.AtSeconds + RampEstimator.WarningWindowSeconds;
            return new RateSignal(kink.SlopePerSecond * 60, ramp.NewestSeconds - kink.AtSeconds);
        }

        return Over(RampEstimator.WarningWindowSeconds, ramp, sinceSeconds, lowest, highest, tolerance, warmed)
            ?? Over(RampEstimator.RecordWindowSeconds, ramp, sinceSeconds, lowest, highest, tolerance, warmed);
    }

    /// <summary>Whether the rate is back inside at one end: by its own uncertainty, so that an alarm does not come and go.</summary>
    /// <param name="ramp">The readings.</param>
    /// <param name="sinceSeconds">Readings before this time belong to another band, s.</param>
    /// <param name="limit">The end of the band, °C/min.</param>
    /// <param name="side">1: above the limit is outside; −1: below.</param>
    public bool IsBack(RampEstimator ramp, double sinceSeconds, double limit, int side) =>
        ramp.NewestSeconds >= _notClearBefore
        && ramp.Fit(RampEstimator.WarningWindowSeconds, sinceSeconds) is { } line
        && side * ((line.SlopePerSecond * 60) - limit) < -line.SlopeUncertaintyPerSecond * 60;

    private RateSignal? Over(double windowSeconds, RampEstimator ramp, double sinceSeconds, double lowest, double highest, double tolerance, bool warmed)
    {
        if (ramp.Fit(windowSeconds, sinceSeconds) is not { } line)
        {
            return null;
        }

        var rate = line.SlopePerSecond * 60;
        var excess = Math.Max(rate - highest, lowest - rate);
        return excess > Math.Max(tolerance, Deviations * line.SlopeUncertaintyPerSecond * 60) && excess > 60 * ramp.Feigned(line.SpanSeconds)
            && KinkProof.Steady(ramp, line, (rate > highest ? highest : lowest) / 60, Deviations, _turns.Factor, warmed)
            ? new RateSignal(rate, null)
            : null;
    }
}

/// <summary>A rate outside its band.</summary>
/// <param name="CelsiusPerMinute">The rate, °C/min.</param>
/// <param name="TurnedSeconds">How long ago it turned to it, s; null where the rate over the last seconds tells.</param>
internal readonly record struct RateSignal(double CelsiusPerMinute, double? TurnedSeconds);
