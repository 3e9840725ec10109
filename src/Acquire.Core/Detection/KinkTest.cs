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
    private const double FirstPlaceSeconds = 1;
    private const double PlaceRatio = 1.2;

    // Turns so long ago are what the noise is learnt by: about when one that matters is told, and a late one.
    private const double EarlySeconds = 3.5;
    private const double LateSeconds = 9;

    [JsonInclude]
    private TurnNoise _early = new();

    [JsonInclude]
    private TurnNoise _late = new();

    [JsonInclude]
    private KinkRest _rest = new();

    /// <summary>By what the squares of a statistic over many seconds are to be divided, as white noise would not make them as large; at least 1.</summary>
    public double Factor => Math.Max(_early.Factor, _late.Factor);

    /// <summary>The turn out of the band, or null.</summary>
    /// <param name="ramp">The readings; a point was just completed.</param>
    /// <param name="sinceSeconds">Readings before this time belong to another band, s.</param>
    /// <param name="lowestPerSecond">Lower end of the band, °C/s; minus infinity where it is not judged.</param>
    /// <param name="highestPerSecond">Upper end, °C/s.</param>
    /// <param name="warmed">Whether a flame may have warmed the thermometer within the last seconds.</param>
    public Kink? Look(RampEstimator ramp, double sinceSeconds, double lowestPerSecond, double highestPerSecond, bool warmed)
    {
        if (_rest.Lasts(ramp, sinceSeconds, TurnDeviations * TurnDeviations))
        {
            return null;
        }

        var (sums, newest) = (ramp.Sums, ramp.NewestSeconds);
        var all = sums.From(Math.Max(newest - WindowSeconds, sinceSeconds) - newest, RampWindow.Turn, out var oldestX);
        if (all.Points < LeastBeforePoints + 4)
        {
            return null;
        }

        var fit = new KinkFit(all, newest - sums.ZeroSeconds);
        Span<int> room = stackalloc int[RampSums.MostPlaces];
        Span<double> x = stackalloc double[RampSums.MostPlaces + KinkFit.Slack];
        Span<double> saved = stackalloc double[RampSums.MostPlaces + KinkFit.Slack];
        var (first, end) = Places(sums, all, oldestX, room, x);
        var places = room[first..end];
        fit.Saved(sums, places, x[first..], saved);
        x = x[first..end];
        saved = saved[..places.Length];
        double most = 0, least = 0;
        foreach (var one in saved)
        {
            (most, least) = (double.MaxNative(most, one), double.MinNative(least, one));
        }

        if (_rest.IsToLearn(newest))
        {
            Learn(_early, EarlySeconds, newest, fit, x, saved);
            Learn(_late, LateSeconds, newest, fit, x, saved);
            _rest.Learnt(newest);
        }

        _rest.Begin(sinceSeconds, fit, (sums.ZeroSeconds + (all.X / all.Count), sums.Level + (all.Y / all.Count)), Math.Max(most, -least));
        return Told(ramp, sinceSeconds, fit, places, saved, most, new(1, highestPerSecond), warmed)
            ?? Told(ramp, sinceSeconds, fit, places, saved, least, new(-1, lowestPerSecond), warmed);
    }

    // Places with enough points before and behind them: from the first to the end.
    private static (int First, int End) Places(RampSums sums, in RampMoments all, double oldestX, Span<int> room, Span<double> x)
    {
        var (first, end, newest) = (0, sums.Places(FirstPlaceSeconds, PlaceRatio, oldestX, room, x), sums.Newest.Points);
        while (end > 0 && (all.Points - (newest - sums.UpTo(room[end - 1]).Points) < LeastBeforePoints || x[end - 1] - oldestX < LeastBeforeSeconds))
        {
            end--;
        }

        while (first < end && newest - sums.UpTo(room[first]).Points < 2)
        {
            first++;
        }

        return (first, end);
    }

    private Kink? Told(RampEstimator ramp, double sinceSeconds, in KinkFit fit, ReadOnlySpan<int> places, ReadOnlySpan<double> saved, double best, in KinkSide side, bool warmed)
    {
        // What needs no logarithm first, which is below what it is the logarithm of by more than 1: most is nothing.
        if (!(fit.LineSquares > (fit.LineSquares - Math.Abs(best)) * (1 + (TurnDeviations * TurnDeviations / fit.Freedom))))
        {
            return null;
        }

        var place = places[saved.IndexOf(best)];
        var kink = fit.At(ramp.Sums.Behind(place), ramp.Sums.X(place));
        if (-kink.TurnX is < YoungestSeconds or > OldestSeconds || !(side.Excess(kink.Slope) > 0))
        {
            return null;
        }

        var factor = Factor;
        var turned = fit.Freedom * Math.Log(fit.LineSquares / kink.Squares) / factor;
        if (!(turned >= TurnDeviations * TurnDeviations))
        {
            return null;
        }

        var outside = fit.Freedom * Math.Log(Math.Max(1, side.LegalSquares(fit, ramp.Sums, places) / kink.Squares)) / factor;
        return outside >= OutsideDeviations * OutsideDeviations
            ? KinkProof.Confirm(ramp, sinceSeconds, fit, kink, turned, outside, factor, warmed)
            : null;
    }

    // The first place behind the one to learn by teaches; the rest do not.
    private static void Learn(TurnNoise noise, double seconds, double newest, in KinkFit fit, ReadOnlySpan<double> x, ReadOnlySpan<double> saved)
    {
        for (var k = 0; k < x.Length; k++)
        {
            if (-x[k] >= seconds)
            {
                noise.Learn(newest, fit.Significance(saved[k]));
                return;
            }
        }
    }
}
