namespace Acquire.Core.Thermometry;

/// <summary>A model of readings that is linear in some of its parameters once the others are given.</summary>
/// <param name="readings">Readings.</param>
/// <param name="linear">Linear parameters.</param>
/// <param name="curved">The others.</param>
internal abstract class SeparableModel(int readings, int linear, int curved)
{
    public int Readings { get; } = readings;

    public int Linear { get; } = linear;

    public int Curved { get; } = curved;

    /// <summary>Fills in what the linear parameters have to explain, and one column for each of them.</summary>
    public abstract void Columns(ReadOnlySpan<double> curved, double[] target, double[][] columns);

    /// <summary>Fills in the derivatives of the whole model by each curved parameter.</summary>
    public abstract void Slopes(ReadOnlySpan<double> curved, ReadOnlySpan<double> linear, double[][] slopes);
}
