namespace Acquire.Benchmarks.Campaigns.Flash;

/// <summary>Random numbers that a seed fixes: splitmix64 (public domain), quick enough for a hundred million readings.</summary>
internal sealed class SceneRandom(ulong seed)
{
    private ulong state = unchecked((seed * 0xD1342543DE82EF95UL) + 0x9E3779B97F4A7C15UL);
    private double spare = double.NaN;

    public double Unit()
    {
        unchecked
        {
            state += 0x9E3779B97F4A7C15UL;
            var z = (state ^ (state >> 30)) * 0xBF58476D1CE4E5B9UL;
            z = (z ^ (z >> 27)) * 0x94D049BB133111EBUL;
            return ((z ^ (z >> 31)) >> 11) * (1.0 / (1UL << 53));
        }
    }

    public double Between(double from, double to) => from + ((to - from) * Unit());

    /// <summary>Normal, by Marsaglia's polar method.</summary>
    public double Normal()
    {
        if (!double.IsNaN(spare))
        {
            var kept = spare;
            spare = double.NaN;
            return kept;
        }

        double u, v, s;
        do
        {
            u = (2 * Unit()) - 1;
            v = (2 * Unit()) - 1;
            s = (u * u) + (v * v);
        }
        while (s is >= 1 or 0);
        var factor = Math.Sqrt(-2 * Math.Log(s) / s);
        spare = v * factor;
        return u * factor;
    }

    public double Scatter(double relative) => 1 + (relative * Math.Clamp(Normal(), -3, 3));
}
