namespace Acquire.Core.Detection;

/// <summary>A <see cref="NuisanceCourse"/> over evenly spaced points on the grid of onsets.</summary>
/// <remarks>What the inverse of their covariance makes of a shape at one point follows from what it makes of it at the next.</remarks>
internal sealed class EvenModel : FlashModel
{
    private readonly CentredInverse _inverse;
    private readonly FlashGroup[] _groups;
    private readonly double _spacing;

    private EvenModel(EvenInverse inverse, ReadOnlySpan<double> full, FlashGroup[] groups, double spacing)
        : base(inverse.LogDeterminant)
    {
        (_inverse, _groups, _spacing) = (new(full, inverse.Predictor.Length), groups, spacing);
    }

    /// <summary>Makes the model; null where the general way has to be gone.</summary>
    /// <param name="course">The nuisance.</param>
    /// <param name="points">How many points.</param>
    /// <param name="steps">Steps of the grid of onsets between them.</param>
    /// <param name="fromStep">Earliest onset, steps after the first point.</param>
    /// <param name="toStep">Latest.</param>
    /// <param name="work">Room for the inverse.</param>
    public static EvenModel? Of(NuisanceCourse course, int points, int steps, int fromStep, int toStep, Span<double> work)
    {
        if (fromStep < 0 || points % 2 != 0 || EvenInverse.Fill(course, points, steps * FlashGrid.StepSeconds, work) is not { } inverse)
        {
            return null;
        }

        FlashGroup[] groups = [.. FlashGroup.All(points, steps, fromStep, toStep)];
        foreach (var group in groups)
        {
            FlashNorms.Fill(inverse, group);
        }

        return new(inverse, work, groups, steps * FlashGrid.StepSeconds);
    }

    /// <inheritdoc/>
    public override int Size => _inverse.Size + _groups.Sum(group => group.Size);

    /// <inheritdoc/>
    public override void Weigh(ReadOnlySpan<double> vector, Span<double> weighted) =>
        _inverse.Times(vector, vector, vector, weighted, weighted, weighted);

    /// <inheritdoc/>
    public override void Weigh(WindowPoints points, Span<double> values, Span<double> size, Span<double> shift) =>
        _inverse.Times(points.ValuesNow, points.Known.AsSpan(0, points.Count), points.Shift.AsSpan(0, points.Count), values, size, shift);

    /// <inheritdoc/>
    public override FlashMatch? Strongest(FlashWeights weights, in KnownCourse known, in FlashBounds bounds)
    {
        var room = WindowPoints.Most + 1 + Sliding.Slack;
        Span<double> values = stackalloc double[room];
        Span<double> size = stackalloc double[weights.HasKnown ? room : 0];
        Span<double> shift = stackalloc double[weights.HasKnown ? room : 0];
        var (best, most) = ((FlashMatch?)null, 0.0);
        var faded = 0;
        foreach (var group in _groups)
        {
            var parts = group.Parts;
            if (parts.Fading > 0 && parts.Fading != faded)
            {
                weights.Fade(FlashShapes.FadingLeft(_spacing), faded = parts.Fading);
            }

            parts.Sum(weights, group.First, group.Count, values, size, shift);

            var squares = new FlashSquares(group.Norms, values, size, shift, known, bounds.HighestOf(group.Shape));
            var lateFrom = Math.Clamp(Math.Ceiling((bounds.LateFromSeconds - group.OnsetSeconds) / _spacing), 0, group.Count);
            if (squares.Most(group.Count, group.Shape, (int)lateFrom, most) is var (at, square) && square > most)
            {
                most = square;
                best = new(group.Shape, group.OnsetSeconds + (at * _spacing), values[at], squares.Norm(at), square);
            }
        }

        return best;
    }
}
