using Acquire.Core.Thermometry;
using CsCheck;
using MathNet.Numerics.LinearAlgebra;
using MathNet.Numerics.Optimization;
using Xunit;

namespace Acquire.Core.Tests.Thermometry;

public sealed class LagFromStepTests
{
    private static readonly LagRecord.Taking Good = new(10, 0.05);

    private static LagRecord Plunge(double tau, LagRecord.Taking taking, int seed) =>
        LagRecord.Step(tau, 10.03 + (seed * 0.007), 25 + (seed * 0.003), 150 + (seed * 0.013), 10 + (6 * tau), taking, seed);

    private static (LagEstimate? Estimate, InputError? Error) From(LagRecord record) =>
        (LagFromStep.Estimate(record.Seconds, record.Celsius, out var error), error);

    private static string Refusal(double[] seconds, double[] celsius)
    {
        Assert.Null(LagFromStep.Estimate(seconds, celsius, out var error));
        Assert.NotNull(error);
        return error.ToString();
    }

    [Fact]
    public void A_perfect_plunge_gives_its_time_constant_and_onset_exactly()
    {
        Gen.Select(Gen.Double[0.5, 60], Gen.Double[-40, 60], Gen.Double[80, 400], Gen.Bool).Sample((tau, cold, hot, down) =>
        {
            var record = LagRecord.Step(tau, 5.01, down ? hot : cold, down ? cold : hot, 5 + (8 * tau), new(20, 0), 1);
            var estimate = LagFromStep.Estimate(record.Seconds, record.Celsius, out var error);
            Assert.Null(error);
            Assert.Equal(tau, estimate!.TimeConstantSeconds, tolerance: 1e-6 * tau);
            Assert.Equal(5.01, estimate.OnsetSeconds!.Value, tolerance: 1e-5);
            Assert.InRange(estimate.DelaySeconds!.Value, 0, 0.06);
        }, iter: 50);
    }

    [Theory]
    // A thin sheath and a mercury bulb; noise, a display of 0.1 °C with and without noise, few readings at uneven times.
    [InlineData(2.8, 10, 0.05, 0, 0, 1.6)]
    [InlineData(15, 10, 0.05, 0.1, 0, 1.6)]
    [InlineData(15, 2, 0.1, 0.1, 0.8, 1.6)]
    [InlineData(30, 1, 0.5, 0, 0.5, 1.6)]
    [InlineData(5, 10, 0.02, 0.1, 0, 2.5)]
    [InlineData(5, 10, 0, 0.1, 0, 4)]
    public void The_uncertainty_covers_the_error(double tau, double hertz, double noise, double step, double jitter, double widest) =>
        LagCoverage.Check(tau, seed => From(Plunge(tau, new(hertz, noise, step, jitter), seed)), widest);

    [Fact]
    public void An_independent_library_fits_the_same_time_constant_with_the_same_uncertainty()
    {
        for (var seed = 0; seed < 5; seed++)
        {
            var record = Plunge(8, Good, seed);
            var estimate = LagFromStep.Estimate(record.Seconds, record.Celsius, out _)!;
            var seconds = record.Seconds[^estimate.ReadingsUsed..];
            var celsius = record.Celsius[^estimate.ReadingsUsed..];

            var model = ObjectiveFunction.NonlinearModel(
                (Vector<double> p, Vector<double> t) => t.Map(s => p[0] + (p[1] * Math.Exp((seconds[0] - s) / p[2]))),
                Vector<double>.Build.DenseOfArray(seconds),
                Vector<double>.Build.DenseOfArray(celsius));
            var oracle = new LevenbergMarquardtMinimizer().FindMinimum(model, Vector<double>.Build.Dense([140.0, -90.0, 6.0]));

            Assert.Equal(0, estimate.ReadingsLeftOut);
            Assert.Equal(oracle.MinimizingPoint[2], estimate.TimeConstantSeconds, tolerance: 1e-4);
            Assert.InRange(estimate.StandardUncertaintySeconds / oracle.StandardErrors[2], 0.99, 1.25);
            Assert.Equal(0.05, estimate.ScatterCelsius, tolerance: 0.005);
        }
    }

    [Fact]
    public void Wild_readings_are_left_out_and_counted()
    {
        LagCoverage.Check(15, seed =>
        {
            var record = Plunge(15, new(10, 0.05, 0.1), seed);
            for (var i = seed % 50; i < record.Celsius.Length; i += 53)
            {
                record.Celsius[i] = i % 2 == 0 ? 850 : -200;
            }

            var answer = From(record);
            Assert.InRange(answer.Estimate?.ReadingsLeftOut ?? 0, 10, 25);
            return answer;
        });
    }

    [Fact]
    public void The_rest_before_the_plunge_need_not_be_on_record()
    {
        LagCoverage.Check(15, seed => From(LagRecord.Step(15, -1 - (seed * 0.01), 25, 150, 90, Good, seed)));
        var record = LagRecord.Step(15, -1, 25, 150, 90, Good, 1);

        Assert.Null(LagFromStep.Estimate(record.Seconds, record.Celsius, out _)!.DelaySeconds);
    }

    [Fact]
    public void A_sheath_with_a_delay_of_its_own_shows_as_delay()
    {
        // Two stages of 15 s and 3 s: the slower one is the time constant; on a ramp the sensor lags by 18 s.
        var seconds = Enumerable.Range(0, 1300).Select(i => i * 0.1).ToArray();
        var celsius = seconds.Select(t => t < 10 ? 25 : 150 - (125 * ((15 * Math.Exp((10 - t) / 15)) - (3 * Math.Exp((10 - t) / 3))) / 12)).ToArray();

        var estimate = LagFromStep.Estimate(seconds, celsius, out _)!;

        Assert.Equal(15, estimate.TimeConstantSeconds, tolerance: 0.2);
        Assert.InRange(estimate.DelaySeconds!.Value, 1.5, 3);
    }

    [Fact]
    public void What_is_no_step_into_a_steady_temperature_is_refused_with_the_reason()
    {
        var plunge = Plunge(15, Good, 1);
        var back = LagRecord.Step(15, 10, 150, 60, 100, Good, 2);
        var ramp = LagRecord.Corners(15, 0, [(0, 25), (60, 25), (240, 80)], Good, 3);
        double[] Later(double[] seconds) => [.. seconds.Select(s => s + plunge.Seconds[^1] + 0.1)];

        Assert.Contains("there is no step", Refusal(plunge.Seconds, LagRecord.Step(15, 10, 25, 25, 100, Good, 1).Celsius), StringComparison.Ordinal);
        Assert.Contains("there is no step", Refusal(plunge.Seconds, LagRecord.Step(15, 10, 25, 25.6, 100, Good, 1).Celsius), StringComparison.Ordinal);
        Assert.Contains("less than 3 time constants", Refusal(plunge.Seconds[..450], plunge.Celsius[..450]), StringComparison.Ordinal);
        Assert.Contains("one step and no other", Refusal([.. plunge.Seconds, .. Later(back.Seconds)], [.. plunge.Celsius, .. back.Celsius]), StringComparison.Ordinal);
        Assert.Contains("above 300 s", Refusal(ramp.Seconds, ramp.Celsius), StringComparison.Ordinal);
        var seldom = LagRecord.Step(2, 10, 25, 150, 60, new(1, 0.05), 1);
        Assert.Contains("read more often", Refusal(seldom.Seconds, seldom.Celsius), StringComparison.Ordinal);
        var late = LagRecord.Step(2, 58.5, 25, 150, 60, Good, 1);
        Assert.Contains("less than 3 time constants", Refusal(late.Seconds, late.Celsius), StringComparison.Ordinal);
    }

    [Fact]
    public void A_record_that_cannot_be_read_is_refused_by_name()
    {
        var good = Plunge(5, Good, 1);
        double[] Changed(double[] values, int i, double value)
        {
            var copy = (double[])values.Clone();
            copy[i] = value;
            return copy;
        }

        Assert.Equal("trace: 19 readings are not within 20 to 180000", Refusal(good.Seconds[..19], good.Celsius[..19]));
        Assert.Equal("trace: 0 readings are not within 20 to 180000", Refusal([], []));
        Assert.Equal("trace: 30 times do not go with 31 values of celsius", Refusal(good.Seconds[..30], good.Celsius[..31]));
        Assert.StartsWith("trace[7].seconds:", Refusal(Changed(good.Seconds, 7, good.Seconds[6]), good.Celsius), StringComparison.Ordinal);
        Assert.StartsWith("trace[7].seconds:", Refusal(Changed(good.Seconds, 7, double.NaN), good.Celsius), StringComparison.Ordinal);
        Assert.StartsWith("trace[9].celsius:", Refusal(good.Seconds, Changed(good.Celsius, 9, double.NaN)), StringComparison.Ordinal);
        Assert.StartsWith("trace[9].celsius:", Refusal(good.Seconds, Changed(good.Celsius, 9, 1e9)), StringComparison.Ordinal);
    }

    [Fact]
    public void Whatever_comes_there_is_an_estimate_or_a_reason()
    {
        var values = Gen.OneOf(Gen.Double[-273, 1500], Gen.Int[-3, 3].Select(i => (double)i), Gen.Const(25.0));
        Gen.Select(values.Array[20, 60], Gen.Double[1e-6, 10]).Sample((celsius, step) =>
        {
            var seconds = celsius.Select((_, i) => (i + 1e6) * step).ToArray();
            var estimate = LagFromStep.Estimate(seconds, celsius, out var error);
            Assert.True(estimate is null != error is null);
            Assert.True(estimate is null || (estimate.TimeConstantSeconds is >= 0.01 and <= 300 && double.IsFinite(estimate.StandardUncertaintySeconds)));
            estimate = LagFromRamp.Estimate(seconds, celsius, out error);
            Assert.True(estimate is null != error is null);
            estimate = LagFromReference.Estimate(seconds, celsius, [.. celsius.Reverse()], out error);
            Assert.True(estimate is null != error is null);
        }, iter: 300);
    }
}
