using MathNet.Numerics.Distributions;

namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>What a count says about a probability.</summary>
internal static class Binomial
{
    private const double Confidence = 0.95;

    /// <summary>One-sided upper bound of 95 % by Clopper and Pearson (Biometrika 26 (1934) 404): 1 where all count, NaN of nothing.</summary>
    public static double Upper(int count, int of) => of == 0 ? double.NaN : count >= of ? 1 : Beta.InvCDF(count + 1, of - count, Confidence);
}
