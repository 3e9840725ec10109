using System.Numerics;
using System.Runtime.InteropServices;

namespace Acquire.Core.Detection;

/// <summary>Time between readings.</summary>
internal static class Spacing
{
    // Gaps that differ by this share of one differ by the rounding of times.
    private const double Rounding = 1e-9;

    /// <summary>Median time between readings, s; where more than half of the gaps are equal but for the rounding of times, one of these.</summary>
    /// <param name="times">Times, s, ascending; at least two.</param>
    /// <param name="work">Room for as many values.</param>
    public static double Median(ReadOnlySpan<double> times, Span<double> work)
    {
        var gaps = work[..(times.Length - 1)];
        var usual = times[times.Length / 2] - times[(times.Length / 2) - 1];
        var (low, high) = (new Vector<double>(usual * (1 - Rounding)), new Vector<double>(usual * (1 + Rounding)));
        var equal = Vector<long>.Zero;
        var later = MemoryMarshal.Cast<double, Vector<double>>(times[1..]);
        var earlier = MemoryMarshal.Cast<double, Vector<double>>(times[..^1]);
        var wide = MemoryMarshal.Cast<double, Vector<double>>(gaps);
        for (var i = 0; i < wide.Length; i++)
        {
            var gap = wide[i] = later[i] - earlier[i];
            equal -= Vector.GreaterThanOrEqual(gap, low) & Vector.LessThanOrEqual(gap, high);
        }

        for (var i = wide.Length * Vector<double>.Count; i < gaps.Length; i++)
        {
            gaps[i] = times[i + 1] - times[i];
        }

        return 2 * Vector.Sum(equal) > gaps.Length ? usual : Robust.MedianInPlace(gaps);
    }
}
