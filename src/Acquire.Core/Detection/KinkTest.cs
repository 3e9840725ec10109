namespace Acquire.Core.Detection;

/// <summary>Tells, seconds after it happened, that a ramp has turned to a rate outside its band.</summary>
/// <remarks>
/// A generalised likelihood-ratio test for a line with a kink of unknown place and size in noise of unknown strength, over the
/// newest <see cref="WindowSeconds"/>. Two questions must both be answered with yes. Has the rate changed: does a line with a
/// kink leave so much less than a straight line, ν ln(S_line/S_kink) ≥ A²? And has it left the band: does it leave less than
/// every line with a kink whose slopes lie within the band, ν ln(S_legal/S_kink) ≥ B²? The first finds a change in the least
/// time; the second keeps it quiet where the change is within the band. What speaks for a turn is then looked at by
/// <see cref="KinkProof"/>.
/// Literature: Basseville and Nikiforov, Detection of Abrupt Changes, 1993 (the likelihood-ratio test for a change of slope).
/// </remarks>
internal static class KinkTest
{
    /// <summary>How far back the test looks, s.</summary>
    public const double WindowSeconds = 45;

    /// <summary>Deviations that a change of the rate must have: one false alarm in a hundred runs of ten minutes, by the campaign.</summary>
    public const double TurnDeviations = 4.6;

    /// <summary>Deviations by which the rate must be outside the band rather than inside.</summary>
    public const double OutsideDeviations = 1.6;

    /// <summary>Youngest and oldest turn that is told; a younger one is hardly seen, an older one is seen by the rate over some seconds.</summary>
    public const double YoungestSeconds = 1.4;
    private const double OldestSeconds = 15;

    // Before the turn there must be a ramp to turn from.
    private const double LeastBeforeSeconds = 6;
    private const int LeastBeforePoints = 8;

    // Places for the turn: each so many times as far back as the one before. Finer ones gain nothing.
    private const double FirstPlaceSeconds = 0.6;
    private const double PlaceRatio = 1.17;
    private const int MostPlaces = 32;

    /// <summary>The turn out of the band, or null.</summary>
    /// <param name="ramp">The readings.</param>
    /// <param name="sinceSeconds">Readings before this time belong to another band, s.</param>
    /// <param name="limitPerSecond">The end of the band, °C/s.</param>
    /// <param name="side">1: above the limit is outside; −1: below.</param>
    public static Kink? Look(RampEstimator ramp, double sinceSeconds, double limitPerSecond, int side)
    {
        Span<RampMoments> places = stackalloc RampMoments[MostPlaces];
        var count = ramp.Gather(WindowSeconds, sinceSeconds, FirstPlaceSeconds, PlaceRatio, places, out var all, out var oldestX);
        if (all.Count < LeastBeforePoints + 4)
        {
            return null;
        }

        var fit = new KinkFit(all);
        KinkCandidate best = default;
        var (least, legal) = (double.PositiveInfinity, side * (fit.Slope - limitPerSecond) <= 0 ? fit.LineSquares : double.PositiveInfinity);
        for (var i = 0; i < count; i++)
        {
            ref readonly var behind = ref places[i];
            if (all.Count - behind.Count < LeastBeforePoints || behind.TurnX - oldestX < LeastBeforeSeconds || behind.Count < 2)
            {
                continue;
            }

            var candidate = fit.At(behind);
            var excess = Math.Max(0, side * (candidate.Slope - limitPerSecond));
            legal = Math.Min(legal, candidate.Squares + (excess * excess / candidate.SlopeFactor));
            if (candidate.Squares < least && side * candidate.Turn > 0)
            {
                (least, best) = (candidate.Squares, candidate);
            }
        }

        var seconds = -best.TurnX;
        if (seconds is < YoungestSeconds or > OldestSeconds || side * (best.Slope - limitPerSecond) <= 0)
        {
            return null;
        }

        var turned = fit.Freedom * Math.Log(fit.LineSquares / least);
        var outside = fit.Freedom * Math.Log(Math.Max(1, legal / least));
        return turned >= TurnDeviations * TurnDeviations && outside >= OutsideDeviations * OutsideDeviations
            ? KinkProof.Confirm(ramp, sinceSeconds, fit, best, turned, outside)
            : null;
    }
}
