using Acquire.Core.Detection;

namespace Acquire.Core.Thermometry;

/// <summary>Scale of deviations from zero by the smaller ones of them.</summary>
internal static class TrimmedScale
{
    // The smaller 95 % of normal deviations have 0.871 of their standard deviation (1.96·φ(1.96)/0.475 is missing from its
    // square). Unlike a median, this does not jump where coarsely digitised readings deviate by nothing or a whole step.
    private const double KeptShare = 0.95;
    private const double KeptScale = 0.871;

    /// <summary>The scale, as a standard deviation; 0 for an empty span.</summary>
    public static double Of(ReadOnlySpan<double> deviations)
    {
        var sizes = deviations.ToArray();
        for (var i = 0; i < sizes.Length; i++)
        {
            sizes[i] = Math.Abs(sizes[i]);
        }

        Array.Sort(sizes);
        var kept = sizes.AsSpan(0, (int)(KeptShare * sizes.Length));
        return kept.IsEmpty ? 0 : Math.Sqrt(SymmetricInverse.Dot(kept, kept) / kept.Length) / KeptScale;
    }
}
