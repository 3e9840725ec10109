using Acquire.Core.Thermometry;
using Xunit;

namespace Acquire.Core.Tests.Thermometry;

/// <summary>Many estimates of one known time constant.</summary>
internal static class LagCoverage
{
    /// <summary>Estimates from 200 records; each must succeed, 97 % must lie within three of their own standard uncertainties, and the uncertainties must not be far too large.</summary>
    /// <param name="tau">The time constant, s.</param>
    /// <param name="estimate">An estimate for a seed.</param>
    /// <param name="widest">Most that the typical uncertainty may exceed the typical error by.</param>
    public static void Check(double tau, Func<int, (LagEstimate? Estimate, InputError? Error)> estimate, double widest = 1.6)
    {
        var answers = Enumerable.Range(0, 200).Select(estimate).ToList();
        Assert.All(answers, answer => Assert.Null(answer.Error));
        var estimates = answers.Select(answer => answer.Estimate!).ToList();
        var within = estimates.Count(e => Math.Abs(e.TimeConstantSeconds - tau) < 3 * e.StandardUncertaintySeconds);
        var typicalError = Math.Sqrt(estimates.Average(e => Math.Pow(e.TimeConstantSeconds - tau, 2)));
        var typicalUncertainty = Math.Sqrt(estimates.Average(e => Math.Pow(e.StandardUncertaintySeconds, 2)));

        Assert.InRange(within, 194, 200);
        Assert.InRange(typicalUncertainty, 0.8 * typicalError, widest * typicalError);
    }
}
