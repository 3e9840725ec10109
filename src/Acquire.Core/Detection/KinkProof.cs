namespace Acquire.Core.Detection;

/// <summary>Looks closely at a rate that was found outside its band: would noise with a memory, a wild reading or a warm flame do the same?</summary>
/// <remarks>Only what has passed a quick test comes here, so it may cost more.</remarks>
internal static class KinkProof
{
    // A ramp that rises above the old one by so many deviations of a point, and by so much, °C, may be the flank of a hump:
    // then it must outlast one.
    private const double HighDeviations = 4;
    private const double HighCelsius = 0.1;
    private const double OutlastSeconds = 3.6;

    // Deviations by which a kink must be surer than an even growth of the rate.
    private const double BendDeviations = 3.2;

    // By how much it must explain the points better than a hump does, as a difference of ν ln S: where nothing is known of a
    // flame a small hump gets no credit, so that a turn is told in time; where one may have warmed the thermometer it does.
    private const double BetterThanHump = -10;
    private const double BetterThanFlame = 4;

    /// <summary>The kink, where it stands all that; else null.</summary>
    public static Kink? Confirm(RampEstimator ramp, double sinceSeconds, in KinkFit fit, in KinkCandidate kink, double turned, double outside, double factor, bool warmed)
    {
        var seconds = -kink.TurnX;
        if (seconds < OutlastSeconds && (warmed || Math.Abs(kink.Turn) * seconds > Math.Max(HighCelsius, HighDeviations * fit.Scatter(kink.Squares))))
        {
            return null;
        }

        Span<double> x = stackalloc double[RampEstimator.MostPoints];
        Span<double> y = stackalloc double[RampEstimator.MostPoints];
        Span<double> w = stackalloc double[RampEstimator.MostPoints];
        Span<double> left = stackalloc double[RampEstimator.MostPoints];
        var n = ramp.Copy(KinkTest.WindowSeconds, sinceSeconds, x, y, w);
        var memory = new RampResidue(x[..n], y[..n], w[..n], kink.Slope - kink.Turn, kink.Turn, kink.TurnX, left).Memory / factor;
        memory = Math.Max(1, memory);
        if (turned < KinkTest.TurnDeviations * KinkTest.TurnDeviations * memory || outside < KinkTest.OutsideDeviations * KinkTest.OutsideDeviations * memory)
        {
            return null;
        }

        // Without a kink: a rate that grows evenly, and a straight line with a hump.
        memory *= factor;
        var straight = new RampResidue(x[..n], y[..n], w[..n], fit.Slope, 0, 0, left);
        var bent = fit.LineSquares - straight.Bend();
        var hump = fit.LineSquares - straight.Hump(fit.Spread);
        if (fit.Freedom * Math.Log(bent / kink.Squares) < BendDeviations * BendDeviations * memory
            || fit.Freedom * Math.Log(hump / kink.Squares) < (warmed ? BetterThanFlame * memory : BetterThanHump))
        {
            return null;
        }

        return new Kink(ramp.NewestSeconds + kink.TurnX, kink.Slope, Math.Sqrt(kink.Squares / fit.Freedom * kink.SlopeFactor * memory), Math.Sqrt(turned * factor / memory));
    }

    /// <summary>Whether the rate over a window is outside by so many deviations, and not for a hump on a ramp just inside.</summary>
    /// <param name="ramp">The readings.</param>
    /// <param name="line">The line over the window, which ends with the newest point.</param>
    /// <param name="limitPerSecond">The end of the band, °C/s.</param>
    /// <param name="deviations">How many deviations outside it must be.</param>
    /// <param name="factor">By what squares exceed those in white noise, as far as it was learnt; at least 1.</param>
    /// <param name="warmed">Whether a flame may have warmed the thermometer within the last seconds.</param>
    public static bool Steady(RampEstimator ramp, in LineFit line, double limitPerSecond, double deviations, double factor, bool warmed)
    {
        Span<double> x = stackalloc double[RampEstimator.MostPoints];
        Span<double> y = stackalloc double[RampEstimator.MostPoints];
        Span<double> w = stackalloc double[RampEstimator.MostPoints];
        Span<double> left = stackalloc double[RampEstimator.MostPoints];
        var n = ramp.Copy(double.PositiveInfinity, ramp.NewestSeconds - (line.SpanSeconds * 1.0001), x, y, w);
        var free = new RampResidue(x[..n], y[..n], w[..n], line.SlopePerSecond, 0, 0, left);
        var (memory, squares) = (Math.Max(factor, free.Memory), free.Squares);
        var u = line.SlopeUncertaintyPerSecond;
        var excess = line.SlopePerSecond - limitPerSecond;
        if (excess * excess < deviations * deviations * u * u * memory)
        {
            return false;
        }

        var atLimit = new RampResidue(x[..n], y[..n], w[..n], limitPerSecond, 0, 0, left);
        return (n - 2) * Math.Log((atLimit.Squares - atLimit.Hump(double.PositiveInfinity)) / squares) >= (warmed ? BetterThanFlame : 1) * memory;
    }
}
