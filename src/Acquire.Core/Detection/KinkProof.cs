namespace Acquire.Core.Detection;

/// <summary>Looks closely at a rate that was found outside its band: would noise with a memory, a wild reading or a warm flame do the same?</summary>
/// <remarks>Only what has passed a quick test comes here, so it may cost more.</remarks>
internal static class KinkProof
{
    // A ramp that rises above the old one by so many deviations of a point may be the flank of a hump: then it must outlast one.
    private const double HighDeviations = 4;
    private const double OutlastSeconds = 3.6;

    // By how much it must explain the points better than a hump does, as a difference of ν ln S.
    private const double BetterThanHump = 1;

    /// <summary>The kink, where it stands all that; else null.</summary>
    public static Kink? Confirm(RampEstimator ramp, double sinceSeconds, in KinkFit fit, in KinkCandidate kink, double turned, double outside)
    {
        var scatter = Math.Sqrt(kink.Squares / fit.Freedom);
        var seconds = -kink.TurnX;
        if (seconds < OutlastSeconds && Math.Abs(kink.Turn) * seconds > HighDeviations * scatter)
        {
            return null;
        }

        Span<double> x = stackalloc double[RampEstimator.MostPoints];
        Span<double> y = stackalloc double[RampEstimator.MostPoints];
        Span<double> left = stackalloc double[RampEstimator.MostPoints];
        var n = ramp.Copy(KinkTest.WindowSeconds, sinceSeconds, x, y);
        var kinked = new RampResidue(x[..n], y[..n], kink.Slope - kink.Turn, kink.Turn, kink.TurnX, left);
        var memory = kinked.Memory;
        if (turned < KinkTest.TurnDeviations * KinkTest.TurnDeviations * memory || outside < KinkTest.OutsideDeviations * KinkTest.OutsideDeviations * memory)
        {
            return null;
        }

        // A straight line and a hump on it, instead of a kink.
        var hump = fit.LineSquares - new RampResidue(x[..n], y[..n], fit.Slope, 0, 0, left).Hump(fit.Spread);
        return fit.Freedom * Math.Log(hump / kink.Squares) < BetterThanHump * memory
            ? null
            : new Kink(ramp.NewestSeconds + kink.TurnX, kink.Slope, scatter * Math.Sqrt(kink.SlopeFactor * memory), Math.Sqrt(turned / memory));
    }

    /// <summary>Whether the rate over a window is outside by so many deviations, and not for a hump on a ramp just inside.</summary>
    /// <param name="ramp">The readings.</param>
    /// <param name="line">The line over the window, which ends with the newest point.</param>
    /// <param name="limitPerSecond">The end of the band, °C/s.</param>
    /// <param name="deviations">How many deviations outside it must be.</param>
    public static bool Steady(RampEstimator ramp, in LineFit line, double limitPerSecond, double deviations)
    {
        Span<double> x = stackalloc double[RampEstimator.MostPoints];
        Span<double> y = stackalloc double[RampEstimator.MostPoints];
        Span<double> left = stackalloc double[RampEstimator.MostPoints];
        var n = ramp.Copy(double.PositiveInfinity, ramp.NewestSeconds - (line.SpanSeconds * 1.0001), x, y);
        var free = new RampResidue(x[..n], y[..n], line.SlopePerSecond, 0, 0, left);
        var memory = free.Memory;
        var u = line.SlopeUncertaintyPerSecond;
        var excess = line.SlopePerSecond - limitPerSecond;
        if (excess * excess < deviations * deviations * u * u * memory)
        {
            return false;
        }

        var atLimit = new RampResidue(x[..n], y[..n], limitPerSecond, 0, 0, left);
        return (n - 2) * Math.Log((atLimit.Squares - atLimit.Hump(double.PositiveInfinity)) / free.Squares) >= BetterThanHump * memory;
    }
}
