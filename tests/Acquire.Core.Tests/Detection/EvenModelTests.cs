using Acquire.Core.Detection;
using Xunit;

namespace Acquire.Core.Tests.Detection;

public sealed class EvenModelTests
{
    private static readonly NuisanceCourse Mixed = new(0.5, 0.125, 0.25, 0.0625, 0.4, 16, 0.2, 0.9, 160);

    public static TheoryData<double, double> Courses => new()
    {
        { 3, 0.2 },
        { 16, 0.13 },
        { 724, 0.2 },
    };

    [Theory]
    [MemberData(nameof(Courses))]
    public void The_inverse_by_the_predictor_is_that_by_decomposition(double slow, double slowSeconds)
    {
        const int points = 120;
        var course = Mixed with { Slow = slow, SlowSeconds = slowSeconds, Free = 10 * slow };
        var (quick, usual) = (new double[points * points], new double[points * points]);

        var made = EvenInverse.Fill(course, points, 0.02, quick);

        course.Fill(Times(points, 0.02), usual, []);
        var logarithm = SymmetricInverse.TryInvert(usual, points)!.Value;
        Assert.Equal(logarithm, made!.LogDeterminant, tolerance: 1e-4);
        var largest = usual.Max(Math.Abs);
        Assert.All(quick.Zip(usual), pair => Assert.Equal(pair.Second, pair.First, tolerance: 1e-4 * largest));
    }

    [Fact]
    public void What_is_too_far_above_the_noise_is_left_to_the_decomposition() =>
        Assert.Null(EvenInverse.Fill(Mixed with { Slow = 2000, Free = 20_000 }, 100, 0.01, new double[100 * 100]));

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public void Flashes_side_by_side_have_the_norms_and_weights_of_each_by_itself(int steps)
    {
        const int points = 200;
        var spacing = steps * FlashGrid.StepSeconds;
        var even = EvenModel.Of(Mixed, points, steps, 90, 190, new double[points * points])!;
        var times = Times(points, spacing);
        var general = NuisanceModel.Of(Mixed, times, even: false, new FlashGrid(times, spacing, 0.9, 1.9))!;
        Assert.Equal(general.LogDeterminant, even.LogDeterminant, tolerance: 1e-6);

        for (ulong seed = 1; seed <= 10; seed++)
        {
            var random = new Random((int)seed);
            double[] values = [.. times.Select(time => random.NextDouble() - 0.5 + (time is > 1.2 and < 1.3 ? 6 : 0))];
            var (one, other) = (Strongest(even, values), Strongest(general, values));

            Assert.Equal(other.Shape, one.Shape);
            Assert.Equal(other.OnsetSeconds, one.OnsetSeconds, tolerance: 1e-9);
            Assert.Equal(other.Projection, one.Projection, tolerance: 1e-6 * other.Projection);
            Assert.Equal(other.Norm, one.Norm, tolerance: 1e-4 * other.Norm);
        }
    }

    private static FlashMatch Strongest(FlashModel model, double[] values)
    {
        var weights = new FlashWeights();
        weights.Take(model, values);
        return model.Strongest(weights, default, new(1000, 1000, 1.25))!.Value;
    }

    private static double[] Times(int points, double spacing) => [.. Enumerable.Range(0, points).Select(i => i * spacing)];
}
