using System.Text.Json.Serialization;

namespace Acquire.Core.Detection;

/// <summary>Tells, seconds after it happened, that a ramp has turned to a rate outside its band. Part of a run's snapshot.</summary>
/// <remarks>
/// A generalised likelihood-ratio test for a line with a kink of unknown place and size in noise of unknown strength, over the
/// newest <see cref="WindowSeconds"/>. Two questions must both be answered with yes. Has the rate changed: does a line with a
/// kink leave so much less than a straight line, ν ln(S_line/S_kink) ≥ A²? And has it left the band: does it leave less than
/// every line with a kink whose rate lies within the band, ν ln(S_legal/S_kink) ≥ B²? The first finds a change in the least
/// time; the second keeps it quiet where the change is within the band. What speaks for a turn is then looked at by
/// <see cref="KinkProof"/>.
/// Literature: Basseville and Nikiforov, Detection of Abrupt Changes, 1993 (likelihood-ratio tests for changes of unknown size).
/// </remarks>
internal sealed class KinkTest
{
    /// <summary>How far back the test looks, s.</summary>
    public const double WindowSeconds = 45;

    /// <summary>Deviations that a change of the rate must have (A): one false alarm in a hundred runs of ten minutes, by the campaign.</summary>
    public const double TurnDeviations = 4.65;

    /// <summary>Deviations by which the rate must be outside the band rather than inside (B).</summary>
    public const double OutsideDeviations = 1.7;

    // Youngest and oldest turn that is told, s. A younger one is hardly seen; an older one is seen by the rate over some seconds.
    private const double YoungestSeconds = 1.4;
    private const double OldestSeconds = 15;

    // Before the turn there must be a ramp to turn from.
    private const double LeastBeforeSeconds = 6;
    private const int LeastBeforePoints = 8;

    // Places for the turn: each so many times as far back as the one before. Finer ones gain nothing.
    private const double FirstPlaceSeconds = 0.6;
    private const double PlaceRatio = 1.15;
    private const int MostPlaces = 32;

    // Turns so long ago are what the noise is learnt by: about when one that matters is told, and a late one.
    private const double EarlySeconds = 3.5;
    private const double LateSeconds = 9;

    [JsonInclude]
    private TurnNoise _early = new();

    [JsonInclude]
    private TurnNoise _late = new();

    /// <summary>By what the squares of a statistic over many seconds are to be divided, as white noise would not make them as large; at least 1.</summary>
    public double Factor => Math.Max(_early.Factor, _late.Factor);

    /// <summary>The turn out of the band, or null.</summary>
    /// <param name="ramp">The readings; a point was just completed.</param>
    /// <param name="sinceSeconds">Readings before this time belong to another band, s.</param>
    /// <param name="limitPerSecond">The end of the band, °C/s.</param>
    /// <param name="side">1: above the limit is outside; −1: below.</param>
    /// <param name="warmed">Whether a flame may have warmed the thermometer within the last seconds.</param>
    public Kink? Look(RampEstimator ramp, double sinceSeconds, double limitPerSecond, int side, bool warmed)
    {
        Span<RampMoments> places = stackalloc RampMoments[MostPlaces];
        var count = ramp.Gather(WindowSeconds, sinceSeconds, FirstPlaceSeconds, PlaceRatio, places, out var all, out var oldestX);
        if (all.Points < LeastBeforePoints + 4)
        {
            return null;
        }

        var fit = new KinkFit(all);
        if (Best(fit, all, places[..count], oldestX, limitPerSecond, side, ramp.NewestSeconds) is not { } found)
        {
            return null;
        }

        var factor = Factor;
        var turned = fit.Freedom * Math.Log(fit.LineSquares / found.Kink.Squares) / factor;
        var outside = fit.Freedom * Math.Log(Math.Max(1, found.LegalSquares / found.Kink.Squares)) / factor;
        return turned >= TurnDeviations * TurnDeviations && outside >= OutsideDeviations * OutsideDeviations
            ? KinkProof.Confirm(ramp, sinceSeconds, fit, found.Kink, turned, outside, factor, warmed)
            : null;
    }

    // The place that explains the points best, and the squares that are left where the rate stays within the band.
    private (KinkCandidate Kink, double LegalSquares)? Best(in KinkFit fit, in RampMoments all, ReadOnlySpan<RampMoments> places, double oldestX, double limit, int side, double now)
    {
        KinkCandidate best = default;
        var least = double.PositiveInfinity;
        var legal = side * (fit.Slope - limit) <= 0 ? fit.LineSquares : double.PositiveInfinity;
        var (early, late) = (EarlySeconds, LateSeconds);
        foreach (ref readonly var behind in places)
        {
            if (all.Points - behind.Points < LeastBeforePoints || behind.TurnX - oldestX < LeastBeforeSeconds || behind.Points < 2)
            {
                continue;
            }

            var candidate = fit.At(behind);
            var excess = Math.Max(0, side * (candidate.Slope - limit));
            legal = Math.Min(legal, candidate.Squares + (excess * excess / candidate.SlopeFactor));
            if (candidate.Squares < least && side * candidate.Turn > 0)
            {
                (least, best) = (candidate.Squares, candidate);
            }

            if (-behind.TurnX >= early)
            {
                _early.Learn(now, fit.Significance(candidate));
                early = double.PositiveInfinity;
            }

            if (-behind.TurnX >= late)
            {
                _late.Learn(now, fit.Significance(candidate));
                late = double.PositiveInfinity;
            }
        }

        return -best.TurnX is < YoungestSeconds or > OldestSeconds || side * (best.Slope - limit) <= 0 ? null : (best, legal);
    }
}
