using Acquire.Core.Detection;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Detection;

public sealed class SymmetricInverseTests
{
    // A·Aᵀ + n·1 is symmetric and positive definite for any A, with a condition number that stays small.
    private static double[] PositiveDefinite(double[] a, int n)
    {
        var m = new double[n * n];
        for (var i = 0; i < n; i++)
        {
            for (var j = 0; j < n; j++)
            {
                for (var k = 0; k < n; k++)
                {
                    m[(i * n) + j] += a[(i * n) + k] * a[(j * n) + k];
                }
            }

            m[(i * n) + i] += n;
        }

        return m;
    }

    [Fact]
    public void A_matrix_times_its_inverse_is_the_unit_matrix()
    {
        var squares = Gen.Int[1, 40].SelectMany(n => Gen.Double[-1, 1].Array[n * n].Select(a => (n, a)));
        squares.Sample((n, a) =>
        {
            var m = PositiveDefinite(a, n);
            var inverse = (double[])m.Clone();

            Assert.NotNull(SymmetricInverse.TryInvert(inverse, n));

            for (var i = 0; i < n; i++)
            {
                for (var j = 0; j < n; j++)
                {
                    var product = Enumerable.Range(0, n).Sum(k => m[(i * n) + k] * inverse[(k * n) + j]);
                    Assert.Equal(i == j ? 1.0 : 0.0, product, tolerance: 1e-10);
                    Assert.Equal(inverse[(i * n) + j], inverse[(j * n) + i]);
                }
            }
        }, iter: 200);
    }

    [Fact]
    public void A_matrix_that_is_not_positive_definite_is_refused()
    {
        double[] saddle = [1, 2, 2, 1];

        Assert.Null(SymmetricInverse.TryInvert(saddle, 2));
        Assert.Null(SymmetricInverse.TryInvert(new double[] { double.NaN }, 1));
    }

    [Fact]
    public void The_product_of_spans_equals_the_plain_sum()
    {
        Gen.Double[-10, 10].Array[0, 40].SelectMany(a => Gen.Double[-10, 10].Array[a.Length].Select(b => (a, b))).Sample((a, b) =>
            Assert.Equal(a.Zip(b, (x, y) => x * y).Sum(), SymmetricInverse.Dot(a, b), tolerance: 1e-9));
    }
}
