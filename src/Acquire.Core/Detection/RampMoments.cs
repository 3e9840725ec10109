using System.Runtime.InteropServices;

namespace Acquire.Core.Detection;

/// <summary>Sums over averaged points, relative to one of them: all that a straight line by least squares needs.</summary>
[StructLayout(LayoutKind.Auto)]
internal struct RampMoments
{
    /// <summary>Number of points.</summary>
    public int Points;

    /// <summary>Sum of their weights: the number of readings in them.</summary>
    public double Count;

    /// <summary>Weighted sum of the times relative to that point, s.</summary>
    public double X;

    /// <summary>Weighted sum of the values relative to its value, °C.</summary>
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

    /// <summary>What the sums up to one point have more than those up to an earlier one.</summary>
    public static RampMoments Between(in RampMoments earlier, in RampMoments later) => new()
    {
        Points = later.Points - earlier.Points,
        Count = later.Count - earlier.Count,
        X = later.X - earlier.X,
        Y = later.Y - earlier.Y,
        XX = later.XX - earlier.XX,
        XY = later.XY - earlier.XY,
        YY = later.YY - earlier.YY,
    };

    /// <summary>Adds a point.</summary>
    /// <param name="x">Its time, s.</param>
    /// <param name="y">Its value, °C.</param>
    /// <param name="weight">Its weight; negative where it is taken off.</param>
    /// <param name="points">1, or −1 where it is taken off.</param>
    public void Add(double x, double y, double weight, int points = 1)
    {
        var (wx, wy) = (weight * x, weight * y);
        Points += points;
        Count += weight;
        X += wx;
        Y += wy;
        XX += wx * x;
        XY += wx * y;
        YY += wy * y;
    }
}
