namespace Acquire.Core.Detection;

/// <summary>An idea of the nuisance over a window's points: what it makes of values, and of each flash that is looked for. Immutable.</summary>
/// <param name="logDeterminant">Logarithm of the covariance's determinant.</param>
internal abstract class FlashModel(double logDeterminant)
{
    /// <summary>Logarithm of the covariance's determinant.</summary>
    public double LogDeterminant { get; } = logDeterminant;

    /// <summary>What it takes of the memory, in numbers of 8 bytes.</summary>
    public abstract int Size { get; }

    /// <summary>The inverse of the covariance times a vector.</summary>
    public abstract void Weigh(ReadOnlySpan<double> vector, Span<double> weighted);

    /// <summary>The same for the three of a window at once: what is kept of the inverse is read once.</summary>
    /// <param name="points">Values, known course and its shift.</param>
    /// <param name="values">Receives the weighted values.</param>
    /// <param name="size">Receives the weighted course.</param>
    /// <param name="shift">Receives its weighted shift.</param>
    public virtual void Weigh(WindowPoints points, Span<double> values, Span<double> size, Span<double> shift)
    {
        Weigh(points.ValuesNow, values);
        Weigh(points.Known.AsSpan(0, points.Count), size);
        Weigh(points.Shift.AsSpan(0, points.Count), shift);
    }

    /// <summary>The flash that stands out most, by the weighted values.</summary>
    /// <param name="weights">The window's values, known course and its shift, weighted.</param>
    /// <param name="known">The known course.</param>
    /// <param name="bounds">What a flash can be.</param>
    /// <returns>It; null where nothing points upwards.</returns>
    public abstract FlashMatch? Strongest(FlashWeights weights, in KnownCourse known, in FlashBounds bounds);
}

/// <summary>A flash in a window.</summary>
/// <param name="Shape">Which of the <see cref="FlashShapes"/>.</param>
/// <param name="OnsetSeconds">After the first point, s.</param>
/// <param name="Projection">The flash of height 1 times the weighted values.</param>
/// <param name="Norm">Its square in units of noise and nuisance.</param>
/// <param name="Square">How much it stands out, squared: the square of the projection over the norm, less how rare such a flash is.</param>
internal readonly record struct FlashMatch(int Shape, double OnsetSeconds, double Projection, double Norm, double Square);

/// <summary>What a flash can be in a window.</summary>
/// <param name="Highest">No flash can be higher, in units of the noise.</param>
/// <param name="HighestBurn">Nor burning than this.</param>
/// <param name="LateFromSeconds">After the first point; from here on an ignition is late, and rarer. Positive infinity where that is not known.</param>
internal readonly record struct FlashBounds(double Highest, double HighestBurn, double LateFromSeconds)
{
    /// <summary>Highest flash of a shape.</summary>
    public double HighestOf(int shape) => shape == FlashShapes.Burning ? HighestBurn : Highest;
}
