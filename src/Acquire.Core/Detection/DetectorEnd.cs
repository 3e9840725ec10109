namespace Acquire.Core.Detection;

/// <summary>Tells that a detector stood at the end of its range: what would have been higher cannot be seen.</summary>
internal static class DetectorEnd
{
    // A top that is one value for so long is no top of a pass, s; where the converter's counts are as coarse as the noise, for so long.
    private const double FlatSeconds = 0.1;
    private const double FlatSecondsWhenCoarse = 0.3;
    private const int FewestReadings = 3;

    // A converter slower than the rows repeats every value: the top stands out only where it stays so much longer than any other.
    private const int LongerThanOthers = 3;

    /// <summary>Whether the highest value from one time on is one that readings came back to and stayed at.</summary>
    /// <param name="window">Readings as they came, the detector's unit.</param>
    /// <param name="from">When the flame came, s.</param>
    /// <param name="noise">Quiet detector.</param>
    /// <param name="halfCount">What the converter cannot tell, detector's unit; 0 where that is not known.</param>
    public static bool Reached(DetectorStretch window, double from, IdleNoise noise, double halfCount)
    {
        var times = window.Times;
        var values = window.Values;
        var top = double.NegativeInfinity;
        for (var i = 0; i < values.Length; i++)
        {
            top = times[i] >= from ? Math.Max(top, values[i]) : top;
        }

        // At rest nothing is said: a detector that rests at an end is dead, or looks at nothing.
        if (!(top - noise.Baseline > 5 * noise.Smooth))
        {
            return false;
        }

        var (longest, seconds, other) = (0, 0.0, 0);
        for (var i = 0; i < values.Length;)
        {
            var next = i + 1;
            for (; next < values.Length && values[next] == values[i]; next++)
            {
            }

            if (values[i] != top)
            {
                other = Math.Max(other, next - i);
            }
            else if (next - i > longest)
            {
                (longest, seconds) = (next - i, times[next - 1] - times[i]);
            }

            i = next;
        }

        var coarse = 2 * halfCount >= noise.White;
        return longest >= Math.Max(FewestReadings, LongerThanOthers * other) && seconds >= (coarse ? FlatSecondsWhenCoarse : FlatSeconds);
    }
}
