using Acquire.Core.Thermometry;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Thermometry;

public sealed class LagFromRampTests
{
    private static readonly LagRecord.Taking Good = new(10, 0.05);

    // Rest, then 16.5 °C/min.
    private static LagRecord Heated(double tau, LagRecord.Taking taking, int seed)
    {
        var (rest, begin, length) = (25 + (seed * 0.002), 60 + (seed * 0.01), 12 * tau);
        return LagRecord.Corners(tau, 0, [(0, rest), (begin, rest), (begin + length, rest + (length * (0.275 + (seed * 1e-5))))], taking, seed);
    }

    private static (LagEstimate? Estimate, InputError? Error) From(LagRecord record) =>
        (LagFromRamp.Estimate(record.Seconds, record.Celsius, out var error), error);

    private static string Refusal(double[] seconds, double[] celsius)
    {
        Assert.Null(LagFromRamp.Estimate(seconds, celsius, out var error));
        Assert.NotNull(error);
        return error.ToString();
    }

    [Fact]
    public void A_perfect_record_gives_its_time_constant_and_onset()
    {
        Gen.Select(Gen.Double[2, 40], Gen.Double[0.05, 1], Gen.Double[20, 60], Gen.Bool).Sample((tau, rate, begin, down) =>
        {
            var end = begin + (10 * tau);
            var record = LagRecord.Corners(tau, 0, [(0, 200), (begin, 200), (end, 200 + (rate * 10 * tau * (down ? -1 : 1)))], new(10, 0), 1);
            var estimate = LagFromRamp.Estimate(record.Seconds, record.Celsius, out var error);
            Assert.Null(error);
            Assert.Equal(tau, estimate!.TimeConstantSeconds, tolerance: 1e-3 * tau);
            Assert.Equal(begin, estimate.OnsetSeconds!.Value, tolerance: 0.02);
        }, iter: 50);
    }

    [Theory]
    [InlineData(2.8, 10, 0.05, 0, 0, 1.6)]
    [InlineData(15, 10, 0.05, 0.1, 0, 1.6)]
    [InlineData(15, 2, 0.1, 0.1, 0.8, 1.6)]
    [InlineData(30, 10, 0.5, 0, 0, 1.6)]
    [InlineData(5, 10, 0.02, 0.1, 0, 2.5)]
    [InlineData(5, 10, 0, 0.1, 0, 2.5)]
    public void The_uncertainty_covers_the_error(double tau, double hertz, double noise, double step, double jitter, double widest) =>
        LagCoverage.Check(tau, seed => From(Heated(tau, new(hertz, noise, step, jitter), seed)), widest);

    [Fact]
    public void Wild_readings_are_left_out()
    {
        LagCoverage.Check(15, seed =>
        {
            var record = Heated(15, new(10, 0.05, 0.1), seed);
            for (var i = seed % 50; i < record.Celsius.Length; i += 53)
            {
                record.Celsius[i] += 40;
            }

            return From(record);
        });
    }

    [Fact]
    public void What_is_no_ramp_from_rest_is_refused_with_the_reason()
    {
        var heated = Heated(15, Good, 1);
        var moving = LagRecord.Corners(2.8, 0, [(0, 25), (300, 80)], Good, 1);
        var resting = LagRecord.Corners(15, 0, [(0, 25), (200, 25)], Good, 1);

        Assert.Contains("there is no ramp", Refusal(resting.Seconds, resting.Celsius), StringComparison.Ordinal);
        Assert.Contains("does not begin at rest", Refusal(moving.Seconds[1000..], moving.Celsius[1000..]), StringComparison.Ordinal);
        Assert.Contains("trace: ", Refusal(heated.Seconds[..750], heated.Celsius[..750]), StringComparison.Ordinal);
        Assert.StartsWith("trace: 19 readings", Refusal(heated.Seconds[..19], heated.Celsius[..19]), StringComparison.Ordinal);
    }
}
