using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace Acquire.Core.Detection;

/// <summary>Sums over averaged points, relative to one of them: all that a straight line by least squares needs. Side by side in two registers, so that sums are taken off each other in two steps.</summary>
internal readonly struct RampMoments
{
    private readonly Vector256<double> _ofTimes;
    private readonly Vector256<double> _ofValues;

    private RampMoments(Vector256<double> ofTimes, Vector256<double> ofValues) => (_ofTimes, _ofValues) = (ofTimes, ofValues);

    /// <summary>Number of points.</summary>
    public double Points => _ofValues[3];

    /// <summary>Sum of their weights: the number of readings in them.</summary>
    public double Count => _ofTimes[0];

    /// <summary>Weighted sum of the times relative to that point, s.</summary>
    public double X => _ofTimes[1];

    /// <summary>Weighted sum of the values relative to its value, °C.</summary>
    public double Y => _ofTimes[2];

    /// <summary>Sum of squares of the times, s².</summary>
    public double XX => _ofTimes[3];

    /// <summary>Sum of products, s °C.</summary>
    public double XY => _ofValues[0];

    /// <summary>Sum of squares of the values, °C².</summary>
    public double YY => _ofValues[1];

    /// <summary>What the sums up to one point have more than those up to an earlier one.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static RampMoments Between(in RampMoments earlier, in RampMoments later) => new(later._ofTimes - earlier._ofTimes, later._ofValues - earlier._ofValues);

    /// <summary>The sums with one point more.</summary>
    /// <param name="x">Its time, s.</param>
    /// <param name="y">Its value, °C.</param>
    /// <param name="weight">Its weight; negative where it is taken off.</param>
    /// <param name="points">1, or −1 where it is taken off.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public RampMoments With(double x, double y, double weight, double points = 1)
    {
        var (wx, wy) = (weight * x, weight * y);
        return new(_ofTimes + Vector256.Create(weight, wx, wy, wx * x), _ofValues + Vector256.Create(wx * y, wy * y, 0, points));
    }
}
