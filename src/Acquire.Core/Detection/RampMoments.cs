using System.Runtime.InteropServices;

namespace Acquire.Core.Detection;

/// <summary>Sums over averaged points, counted from the newest one back: all that a straight line by least squares needs.</summary>
/// <remarks>
/// They are formed anew for every new point, relative to it. Running sums would lose their digits to cancellation in a long
/// run; these never span more than a minute and some ten degrees.
/// </remarks>
[StructLayout(LayoutKind.Auto)]
internal struct RampMoments
{
    /// <summary>Number of points.</summary>
    public int Points;

    /// <summary>Sum of their weights: the number of readings in them.</summary>
    public double Count;

    /// <summary>Weighted sum of the times relative to the newest point, s; none is above 0.</summary>
    public double X;

    /// <summary>Sum of the values relative to the newest point, °C.</summary>
    public double Y;

    /// <summary>Sum of squares of the times, s².</summary>
    public double XX;

    /// <summary>Sum of products, s °C.</summary>
    public double XY;

    /// <summary>Sum of squares of the values, °C².</summary>
    public double YY;

    /// <summary>Time of the point that follows, farther back: where a kink may lie, s relative to the newest point.</summary>
    public double TurnX;

    /// <summary>Time of the oldest point among them, s relative to the newest point.</summary>
    public double OldestX;

    /// <summary>Adds a point.</summary>
    public void Add(double x, double y, double weight)
    {
        var (wx, wy) = (weight * x, weight * y);
        Points++;
        Count += weight;
        X += wx;
        Y += wy;
        XX += wx * x;
        XY += wx * y;
        YY += wy * y;
    }
}
