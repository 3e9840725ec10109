namespace Acquire.Core.Detection;

/// <summary>Location and scale that a few wild readings cannot move.</summary>
public static class Robust
{
    // Ratio of the standard deviation to the median absolute deviation of a normal distribution.
    private const double NormalFactor = 1.4826;

    /// <summary>Median; the input is left as it is. 0 for an empty span.</summary>
    public static double Median(ReadOnlySpan<double> values)
    {
        if (values.IsEmpty)
        {
            return 0;
        }

        var sorted = values.ToArray();
        Array.Sort(sorted);
        var middle = sorted.Length / 2;
        return sorted.Length % 2 == 1 ? sorted[middle] : (sorted[middle - 1] + sorted[middle]) / 2;
    }

    /// <summary>The middle one of three.</summary>
    public static double Median3(double a, double b, double c) => Math.Max(Math.Min(a, b), Math.Min(Math.Max(a, b), c));

    /// <summary>Scale of deviations from zero, as a standard deviation.</summary>
    /// <remarks>
    /// From the median absolute deviation; where more than half of the deviations vanish, as with a coarsely digitised
    /// quiet signal, from the root mean square of the smaller 98 %.
    /// </remarks>
    public static double Scale(ReadOnlySpan<double> deviations)
    {
        if (deviations.IsEmpty)
        {
            return 0;
        }

        var sizes = new double[deviations.Length];
        for (var i = 0; i < sizes.Length; i++)
        {
            sizes[i] = Math.Abs(deviations[i]);
        }

        Array.Sort(sizes);
        var median = sizes[sizes.Length / 2];
        if (median > 0)
        {
            return NormalFactor * median;
        }

        var kept = Math.Max(1, sizes.Length * 98 / 100);
        double sum = 0;
        for (var i = 0; i < kept; i++)
        {
            sum += sizes[i] * sizes[i];
        }

        return Math.Sqrt(sum / kept);
    }
}
