using System.Buffers;

namespace Acquire.Core.Detection;

/// <summary>What one idea of the nuisance makes of a window.</summary>
/// <param name="Found">The most significant flash that is possible, heights in units of the noise; null where nothing points upwards.</param>
/// <param name="NoneLog">Logarithm of the likelihood without a flash, but for a constant.</param>
internal readonly record struct FlashIdea(FlashEvidence? Found, double NoneLog)
{
    // Of a flash so long before the first point nothing is left in the window, s; a flame may have stayed for days without a reading.
    private const double LongBeforeSeconds = 10;

    [ThreadStatic]
    private static FlashWeights? _weights;

    /// <summary>The same with that flash; negative infinity without one.</summary>
    public double WithLog => Found is { } flash ? NoneLog + (0.5 * flash.Significance * flash.Significance) : double.NegativeInfinity;

    /// <summary>The same, where the idea itself is rare.</summary>
    /// <param name="rarity">How rare beside the usual one, as a logarithm.</param>
    public FlashIdea Rarer(double rarity) => this with { NoneLog = NoneLog - rarity };

    /// <summary>Makes it; null where numbers cannot carry it.</summary>
    public static FlashIdea? Of(NuisanceCourse course, in FlashQuestion question, WindowPoints points)
    {
        var first = points.Times[0];
        var from = Math.Max(question.From, first - LongBeforeSeconds);
        var to = Math.Max(question.To, first - LongBeforeSeconds - 1);
        if (points.Even)
        {
            return NuisanceModels.For(course, points.Count, points.SpacingSeconds, from - first, to - first) is { } kept ? Of(kept, question, points) : null;
        }

        // No other window has the same times: what is made of it is not kept.
        var inverse = ArrayPool<double>.Shared.Rent(points.Count * points.Count);
        var grid = points.Grid(from, to);
        var norms = ArrayPool<double>.Shared.Rent(grid.Count);
        var made = NuisanceModel.Of(course, points.TimesNow, even: false, grid, inverse, norms);
        var idea = made is null ? (FlashIdea?)null : Of(made, question, points);
        ArrayPool<double>.Shared.Return(norms);
        ArrayPool<double>.Shared.Return(inverse);
        return idea;
    }

    private static FlashIdea Of(FlashModel model, in FlashQuestion question, WindowPoints points)
    {
        var first = points.Times[0];
        var weights = _weights ??= new();
        var known = weights.Take(model, points, out var square);
        var none = -0.5 * (square + model.LogDeterminant + known.LogDeterminant);
        var highest = question.Highest / points.Unit;
        var found = model.Strongest(weights, known, new(highest, Math.Min(highest, 2 * question.Linger / points.Unit), question.LateFrom - first)) is { } flash
            ? new FlashEvidence(first + flash.OnsetSeconds, flash.Projection / flash.Norm, 1 / Math.Sqrt(flash.Norm), flash.Shape, Math.Sqrt(flash.Square))
            : (FlashEvidence?)null;
        return new FlashIdea(found, none);
    }
}
