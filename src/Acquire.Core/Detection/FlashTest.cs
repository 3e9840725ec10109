using System.Buffers;

namespace Acquire.Core.Detection;

/// <summary>Generalised likelihood-ratio test for a sudden ignition at an unknown time in a window around an application.</summary>
/// <remarks>
/// For each idea of the nuisance with covariance C the readings have the log-likelihood -(yᵀC⁻¹y + ln|C|)/2 without a flash; a flash of
/// shape s adds z²/2 to it, z = sᵀC⁻¹y/√(sᵀC⁻¹s), the matched filter for Gaussian nuisance (Kay, Fundamentals of Statistical
/// Signal Processing II, chapters 4 and 7). What is compared is the likeliest idea with a flash, over shapes and onsets, and the
/// likeliest without one: a draught is a draught only where the whole window speaks for one.
/// </remarks>
internal static class FlashTest
{
    // Below this no other idea of the nuisance makes a flash of it.
    private const double WorthAnotherIdea = 3.2;

    // Uneven points put on an even spacing show a flash a little less surely: what shows more than this there is asked of the points themselves.
    // By up to some 0.7: where a second detector is asked from 3.5 on, that has to be less.
    private const double CalmDeviations = WorthAnotherIdea;
    private const double CalmWhereShared = 2.5;

    // Where the passes before are known, what they leave unexplained may be small: so many deviations of the noise, and no less than that share of all that is slow.
    private const double SmallSlow = 2;
    private const double SmallShare = 0.04;
    private const double SlowSeconds = 0.2;
    private const double NarrowSeconds = 0.13;

    // Draughts: flicker as strong as the noise of a point, half and twice as strong.
    private const double LightDraught = 0.5;
    private const double Draught = 1;
    private const double StrongDraught = 2;

    // The last is rare, and explains much: one of some fifty, as a logarithm.
    private const double StrongDraughtRarity = 4;

    // Two flashes in one pass: each of them as sure as this by itself, no less than this share as high as the other and so far from it, s, or what is left
    // of a draught, or of a flash that had another shape, passes for the second. Such a pass is rare beside one with a single flash: twice the logarithm of
    // how many of those there are to one of it. Chosen: with 10 one of 1,000 single flashes in a draught was told wrong.
    private const double WorthASecond = 5;
    private const double SecondShare = 0.4;
    private const double LeastApartSeconds = 0.12;
    private const double RarityOfTwo = 16;

    // A flicker that keeps its beat for some swings hides less of a flash than one that keeps none; the window tells which it is, Hz.
    private static ReadOnlySpan<double> BeatsHertz => [1.5, 2, 2.5, 3, 3.5];

    // Readings so far about an onset tell when it was, s; how far it may be off the grid, and the finer grid.
    private const double AroundSeconds = 0.45;
    private const double RefineWithinSeconds = 0.03;
    private const double RefineStepSeconds = 0.003;

    // What else a window may show than the usual, at most.
    private const int MostIdeas = 10;

    [ThreadStatic]
    private static WindowPoints? _points;

    [ThreadStatic]
    private static IdeaLogs? _logs;

    /// <summary>Tests a window.</summary>
    /// <returns>The strongest candidate; null where the window holds too few readings, or none that numbers can carry.</returns>
    public static FlashEvidence? Run(in FlashQuestion question) => Run(question, []);

    /// <summary>The same, where little hangs on a weak candidate: uneven readings are first put on an even spacing, for which the inverse is kept.</summary>
    /// <param name="question">What is asked.</param>
    /// <param name="shared">Whether a second detector may be asked to confirm: then less of a candidate counts.</param>
    public static FlashEvidence? RunQuickly(in FlashQuestion question, bool shared = false)
    {
        var points = _points ??= new();
        var logs = _logs ??= new();
        points.Take(question, evenly: true);
        if (Ask(question, points, [], logs) is not { } found)
        {
            return points.Respaced ? Run(question) : null;
        }

        Span<bool> matter = stackalloc bool[MostIdeas];
        return points.Respaced && !(found.Significance < (shared ? CalmWhereShared : CalmDeviations)) ? Run(question, matter[..logs.Matter(matter)]) : found;
    }

    private static FlashEvidence? Run(in FlashQuestion question, ReadOnlySpan<bool> matter)
    {
        var points = _points ??= new();
        points.Take(question);
        return Ask(question, points, matter, null);
    }

    private static FlashEvidence? Ask(in FlashQuestion question, WindowPoints points, ReadOnlySpan<bool> matter, IdeaLogs? logs)
    {
        if (points.Count < IdleNoise.FewestReadings)
        {
            return null;
        }

        var usual = points.Course with { SlowSeconds = SlowSeconds };
        if (FlashIdea.Of(usual, question, points) is not { } first)
        {
            return null;
        }

        var best = first;
        var (noneLog, flickerLog) = (first.NoneLog, double.NegativeInfinity);
        logs?.Begin(first);
        if (first.Found is { Significance: >= WorthAnotherIdea })
        {
            var (plain, plainCourse, plainIdea) = (first, usual, -1);
            Span<(NuisanceCourse Course, double Rarity)> others = stackalloc (NuisanceCourse, double)[MostIdeas];
            var count = Others(usual, points, others);
            for (var i = 0; i < count; i++)
            {
                if (matter.Length == count && !matter[i])
                {
                    continue;
                }

                var made = FlashIdea.Of(others[i].Course, question, points)?.Rarer(others[i].Rarity);
                logs?.Add(made);
                if (made is { } idea)
                {
                    noneLog = Math.Max(noneLog, idea.NoneLog);
                    best = idea.WithLog > best.WithLog ? idea : best;
                    if (others[i].Course.Flicker > 0)
                    {
                        flickerLog = Math.Max(flickerLog, idea.NoneLog);
                    }
                    else if (idea.WithLog > plain.WithLog)
                    {
                        (plain, plainCourse, plainIdea) = (idea, others[i].Course, i);
                    }
                }
            }

            // Only where the window seems to show a flicker: two flashes look like one.
            if (flickerLog > plain.NoneLog && plain.Found is { Significance: >= WorthASecond })
            {
                logs?.Keep(plainIdea);
                var two = Twice(plain, plainCourse, question, points);
                best = two.WithLog > best.WithLog ? two : best;
            }
        }

        return best.Found is not { } found ? null : found with
        {
            Height = found.Height * points.Unit,
            HeightUncertainty = found.HeightUncertainty * points.Unit,
            Significance = Math.Sqrt(2 * Math.Max(0, best.WithLog - noneLog)),
        };
    }

    // The same idea where two flashes burned. Their overlap is not taken out of the second one's norm, which makes it count for less. Which of them came
    // first is asked later.
    private static FlashIdea Twice(in FlashIdea one, in NuisanceCourse course, in FlashQuestion question, WindowPoints points)
    {
        var found = one.Found!.Value;
        Span<double> values = stackalloc double[points.Count];
        points.ValuesNow.CopyTo(values);
        for (var i = 0; i < values.Length; i++)
        {
            points.Values[i] -= found.Height * FlashShapes.At(found.Shape, points.Times[i] - found.OnsetSeconds, points.SpacingSeconds);
        }

        var rest = FlashIdea.Of(course, question, points);
        values.CopyTo(points.Values);
        return rest?.Found is { Significance: >= WorthASecond } second && IsAnother(found, second)
            ? one with { Found = found with { Significance = Math.Sqrt((found.Significance * found.Significance) + (second.Significance * second.Significance) - RarityOfTwo) } }
            : one;
    }

    private static bool IsAnother(in FlashEvidence found, in FlashEvidence second) =>
        Math.Abs(second.OnsetSeconds - found.OnsetSeconds) >= LeastApartSeconds && second.Height >= SecondShare * found.Height && found.Height >= SecondShare * second.Height;

    // What else the window may show; how many ideas there are.
    private static int Others(in NuisanceCourse usual, WindowPoints points, Span<(NuisanceCourse Course, double Rarity)> others)
    {
        var count = 0;
        others[count++] = (usual with { SlowSeconds = NarrowSeconds }, 0);
        var small = usual.WithSlow(Math.Max(SmallSlow, SmallShare * usual.Slow), SlowSeconds);
        if (!points.HasKnown || !(small.Slow < 0.5 * usual.Slow))
        {
            others[count++] = (usual.WithFlicker(Draught), 0);
            others[count++] = (usual.WithFlicker(StrongDraught), 0);
            return count;
        }

        others[count++] = (small, 0);
        others[count++] = (small.WithFlicker(LightDraught), 0);
        others[count++] = (small.WithFlicker(Draught), 0);
        others[count++] = (small.WithFlicker(StrongDraught), StrongDraughtRarity);
        foreach (var hertz in BeatsHertz)
        {
            others[count++] = (small.WithBeat(Draught, hertz), 0);
        }

        return count;
    }

    /// <summary>The onset of a flash that was found, from all readings round it, s.</summary>
    /// <param name="question">The question that it answers.</param>
    /// <param name="found">The flash.</param>
    public static double Onset(in FlashQuestion question, in FlashEvidence found)
    {
        var points = _points ??= new();
        points.Take(question with { Window = question.Window.Between(found.OnsetSeconds - AroundSeconds, found.OnsetSeconds + AroundSeconds) }, leastSeconds: 0);
        var n = points.Count;
        if (n < IdleNoise.FewestReadings)
        {
            return found.OnsetSeconds;
        }

        var matrix = ArrayPool<double>.Shared.Rent(n * n);
        var inverse = matrix.AsSpan(0, n * n);
        points.Course.Fill(points.TimesNow, inverse, points.Even ? points.Table.AsSpan(0, n) : []);
        points.AddKnown(inverse);
        var onset = found.OnsetSeconds;
        if (SymmetricInverse.TryInvert(inverse, n) is not null)
        {
            Span<double> weighted = stackalloc double[n];
            for (var i = 0; i < n; i++)
            {
                weighted[i] = SymmetricInverse.Dot(inverse.Slice(i * n, n), points.ValuesNow);
            }

            onset = new FlashSearch(points.TimesNow, inverse, weighted, points.SpacingSeconds).Onset(found, RefineWithinSeconds, RefineStepSeconds) ?? onset;
        }

        ArrayPool<double>.Shared.Return(matrix);
        return onset;
    }
}
