using System.Text.Json.Serialization;

namespace Acquire.Core.Detection;

/// <summary>Watches one end of a rate band: says early when the rate leaves it there, and when it is back for certain. Part of a run's snapshot.</summary>
internal sealed class BandEndWatch
{
    // A rate over the last seconds this many of its own standard uncertainties outside is outside.
    private const double Deviations = 2.5;

    [JsonInclude]
    private double _notClearBefore = double.NegativeInfinity;

    /// <summary>What tells that the rate is outside; null where nothing does.</summary>
    /// <param name="ramp">The readings; a point was just completed.</param>
    /// <param name="sinceSeconds">Readings before this time belong to another band, s.</param>
    /// <param name="limit">The end of the band, °C/min.</param>
    /// <param name="side">1: above the limit is outside; −1: below.</param>
    /// <param name="tolerance">A rate outside by no more than this is measurement noise, °C/min.</param>
    public RateSignal? Look(RampEstimator ramp, double sinceSeconds, double limit, int side, double tolerance)
    {
        if (ramp.Turned(sinceSeconds, limit / 60, side) is { } kink && side * ((kink.SlopePerSecond * 60) - limit) > tolerance)
        {
            // The window holds slower seconds from before the turn; it says nothing about the rate since.
            _notClearBefore = kink.AtSeconds + RampEstimator.WarningWindowSeconds;
            return new RateSignal(kink.SlopePerSecond * 60, ramp.NewestSeconds - kink.AtSeconds);
        }

        if (ramp.Fit(RampEstimator.WarningWindowSeconds, sinceSeconds) is not { } line)
        {
            return null;
        }

        var rate = line.SlopePerSecond * 60;
        return side * (rate - limit) > Math.Max(tolerance, Deviations * line.SlopeUncertaintyPerSecond * 60) && KinkProof.Steady(ramp, line, limit / 60, Deviations)
            ? new RateSignal(rate, null)
            : null;
    }

    /// <summary>Whether the rate is back inside: by its own uncertainty, so that an alarm does not come and go.</summary>
    public bool IsBack(RampEstimator ramp, double sinceSeconds, double limit, int side) =>
        ramp.NewestSeconds >= _notClearBefore
        && ramp.Fit(RampEstimator.WarningWindowSeconds, sinceSeconds) is { } line
        && side * ((line.SlopePerSecond * 60) - limit) < -line.SlopeUncertaintyPerSecond * 60;
}

/// <summary>A rate outside its band.</summary>
/// <param name="CelsiusPerMinute">The rate, °C/min.</param>
/// <param name="TurnedSeconds">How long ago it turned to it, s; null where the rate over the last seconds tells.</param>
internal readonly record struct RateSignal(double CelsiusPerMinute, double? TurnedSeconds);
