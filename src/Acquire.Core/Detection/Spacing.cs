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
    public static double Median(ReadOnlySpan<double> times, Span<double> work) => Of(times, work).Median;

    /// <summary>The same, and the least and the most time between two readings, s.</summary>
    /// <param name="times">Times, s, ascending; at least two.</param>
    /// <param name="work">Room for as many values.</param>
    public static (double Median, double Least, double Most) Of(ReadOnlySpan<double> times, Span<double> work)
    {
        var gaps = times.Length - 1;
        var usual = times[times.Length / 2] - times[(times.Length / 2) - 1];
        var (low, high) = (new Vector<double>(usual * (1 - Rounding)), new Vector<double>(usual * (1 + Rounding)));
        var (equal, leasts, mosts) = (Vector<long>.Zero, new Vector<double>(usual), new Vector<double>(usual));
        var later = MemoryMarshal.Cast<double, Vector<double>>(times[1..]);
        var earlier = MemoryMarshal.Cast<double, Vector<double>>(times[..^1]);
        for (var i = 0; i < later.Length; i++)
        {
            var gap = later[i] - earlier[i];
            equal -= Vector.GreaterThanOrEqual(gap, low) & Vector.LessThanOrEqual(gap, high);
            (leasts, mosts) = (Vector.MinNative(leasts, gap), Vector.MaxNative(mosts, gap));
        }

        var (least, most) = (usual, usual);
        for (var i = 0; i < Vector<double>.Count; i++)
        {
            (least, most) = (double.MinNative(least, leasts[i]), double.MaxNative(most, mosts[i]));
        }

        for (var i = later.Length * Vector<double>.Count; i < gaps; i++)
        {
            var gap = times[i + 1] - times[i];
            (least, most) = (double.MinNative(least, gap), double.MaxNative(most, gap));
        }

        return (2 * Vector.Sum(equal) > gaps ? usual : Robust.Median(new StepRow(times[1..], times[..^1]), default, work), least, most);
    }
}
