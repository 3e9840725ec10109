namespace Acquire.Core.Thermometry;

/// <summary>Slopes at the points of a piecewise cubic that never goes beyond its points (Fritsch and Carlson, SIAM Journal on Numerical Analysis 17, 1980).</summary>
internal static class MonotoneSlopes
{
    /// <summary>One slope a point.</summary>
    /// <param name="x">Ascending; at least one.</param>
    /// <param name="y">As many.</param>
    public static double[] Through(ReadOnlySpan<double> x, ReadOnlySpan<double> y)
    {
        var slopes = new double[x.Length];
        if (x.Length == 1)
        {
            return slopes;
        }

        var secants = new double[x.Length - 1];
        for (var k = 0; k < secants.Length; k++)
        {
            secants[k] = (y[k + 1] - y[k]) / (x[k + 1] - x[k]);
        }

        Start(x, secants, slopes);
        for (var k = 0; k < secants.Length; k++)
        {
            Limit(secants[k], ref slopes[k], ref slopes[k + 1]);
        }

        return slopes;
    }

    // First the slopes of the parabola through three neighbours, which is exact for anything up to second degree.
    private static void Start(ReadOnlySpan<double> x, double[] secants, double[] slopes)
    {
        var last = secants.Length - 1;
        if (last == 0)
        {
            slopes[0] = slopes[1] = secants[0];
            return;
        }

        for (var k = 1; k <= last; k++)
        {
            slopes[k] = Mean(x[k] - x[k - 1], secants[k], x[k + 1] - x[k], secants[k - 1]);
        }

        slopes[0] = (2 * secants[0]) - slopes[1];
        slopes[last + 1] = (2 * secants[last]) - slopes[last];
    }

    private static double Mean(double weightA, double a, double weightB, double b) => ((weightA * a) + (weightB * b)) / (weightA + weightB);

    // The cubic between two points is monotone if its end slopes, in units of the secant, are of its sign and lie in a
    // circle of radius 3; slopes outside are shortened, which never spoils the interval before.
    private static void Limit(double secant, ref double left, ref double right)
    {
        left = left * secant > 0 ? left : 0;
        right = right * secant > 0 ? right : 0;
        if (secant == 0)
        {
            return;
        }

        var radius = Math.Sqrt((left * left) + (right * right)) / Math.Abs(secant);
        if (radius > 3)
        {
            left *= 3 / radius;
            right *= 3 / radius;
        }
    }
}
