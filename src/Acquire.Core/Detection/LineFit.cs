namespace Acquire.Core.Detection;

/// <summary>A straight line through readings by least squares, on their real timestamps.</summary>
/// <param name="CentreSeconds">Mean time of the readings, s.</param>
/// <param name="CentreValue">Value of the line there.</param>
/// <param name="SlopePerSecond">Slope, unit per s.</param>
/// <param name="SlopeUncertaintyPerSecond">Standard uncertainty of the slope from the residuals, unit per s. It takes them as independent: noise with a memory is worse.</param>
/// <param name="Count">Averaged points used; at least 3.</param>
/// <param name="SpanSeconds">Time between the first and the last of them, s.</param>
public readonly record struct LineFit(
    double CentreSeconds,
    double CentreValue,
    double SlopePerSecond,
    double SlopeUncertaintyPerSecond,
    int Count,
    double SpanSeconds)
{
    /// <summary>Value of the line at a time.</summary>
    public double At(double seconds) => CentreValue + (SlopePerSecond * (seconds - CentreSeconds));

    /// <summary>The line that sums of points give.</summary>
    /// <param name="sums">Sums relative to one of the points; at least 3 of them, at different times.</param>
    /// <param name="zeroSeconds">Time of that point, s.</param>
    /// <param name="level">Its value.</param>
    /// <param name="spanSeconds">Time between the first and the last point, s.</param>
    internal static LineFit Of(in RampMoments sums, double zeroSeconds, double level, double spanSeconds)
    {
        // Divided once where the same divisor comes again.
        var perCount = 1 / sums.Count;
        var (x, y) = (sums.X * perCount, sums.Y * perCount);
        var perXX = 1 / (sums.XX - (sums.X * x));
        var xy = sums.XY - (sums.X * y);
        var slope = xy * perXX;
        var left = Math.Max(0, sums.YY - (sums.Y * y) - (slope * xy)) / (sums.Points - 2);
        return new LineFit(zeroSeconds + x, level + y, slope, Math.Sqrt(left * perXX), unchecked((int)sums.Points), spanSeconds);
    }
}
