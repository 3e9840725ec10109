using Acquire.Benchmarks.Campaigns.Flash;
using Acquire.Core.Detection;
using MathNet.Numerics.Distributions;

namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>The least share of flashes that any detector must miss at a rate of false ones, by the lemma of Neyman and Pearson.</summary>
/// <remarks>
/// For it, course and onset of the flash and the covariance C of everything else are known, so that d² = sᵀC⁻¹s, and the likelihood ratio
/// of a pass is lognormal. Its threshold is the same in all passes, which is what makes it the best over passes of different d
/// (Kay, Fundamentals of Statistical Signal Processing II, chapters 3 and 4).
/// </remarks>
internal sealed class NeymanPearson
{
    private const int FewPasses = 24, ManyPasses = 64, Large = 400;

    private readonly double[] distances;

    private NeymanPearson(double[] distances) => this.distances = distances;

    /// <summary>Draws passes with a flash and computes how far each stands out.</summary>
    public static NeymanPearson Of(SceneOptions options)
    {
        var covariance = new SceneCovariance(options);
        var count = covariance.Size > Large ? FewPasses : ManyPasses;
        var distances = new double[count];
        Parallel.For(0, count, new ParallelOptions { MaxDegreeOfParallelism = Environment.ProcessorCount }, k =>
        {
            var random = new SceneRandom((ulong)k + 1);

            // As many draughty passes as the share asks for, not as chance has it.
            var draughty = Math.Floor((k + 1) * options.DraughtShare) > Math.Floor(k * options.DraughtShare);
            var coupling = random.Between(options.CouplingFrom, options.CouplingTo);
            var halo = options.HaloAlways ? (double?)null : random.Between(0.3, 1);
            var matrix = covariance.Matrix(random, halo, coupling, draughty);
            var (seen, _) = PassScene.DrawSignals(new(-0.5, 0.5, 0), options with { DraughtShare = 0 }, random, flashes: true, coupling);
            var flash = seen with { Warmth = new(0, 1, 0), Halo = new(0, 1, 0) };
            distances[k] = Distance(matrix, covariance.Course(flash, flash));
        });
        return new(distances);
    }

    /// <summary>The share missed at a false rate a pass.</summary>
    public double Missed(double falseRate)
    {
        double low = -2000, high = 2000;
        for (var halving = 0; halving < 100; halving++)
        {
            var middle = (low + high) / 2;
            (low, high) = FalseAt(middle) > falseRate ? (middle, high) : (low, middle);
        }

        return distances.Average(d => Normal.CDF(0, 1, (low / d) - (d / 2)));
    }

    private double FalseAt(double logThreshold) => distances.Average(d => Normal.CDF(0, 1, -(logThreshold / d) - (d / 2)));

    // √(sᵀC⁻¹s) = |L⁻¹s| with C = L·Lᵀ by Cholesky's decomposition, in place in the lower triangle.
    private static double Distance(double[] matrix, double[] signal)
    {
        var n = signal.Length;
        var solved = new double[n];
        double sum = 0;
        for (var i = 0; i < n; i++)
        {
            var row = matrix.AsSpan(i * n, i + 1);
            for (var j = 0; j < i; j++)
            {
                row[j] = (row[j] - SymmetricInverse.Dot(row[..j], matrix.AsSpan(j * n, j))) / matrix[(j * n) + j];
            }

            row[i] = Math.Sqrt(row[i] - SymmetricInverse.Dot(row[..i], row[..i]));
            solved[i] = (signal[i] - SymmetricInverse.Dot(row[..i], solved.AsSpan(0, i))) / row[i];
            sum += solved[i] * solved[i];
        }

        return Math.Sqrt(sum);
    }
}
