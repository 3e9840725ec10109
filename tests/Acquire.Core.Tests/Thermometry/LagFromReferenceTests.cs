using Acquire.Core.Tests.Traces;
using Acquire.Core.Thermometry;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Thermometry;

public sealed class LagFromReferenceTests
{
    private static readonly LagRecord.Taking Good = new(10, 0.05, 0, 0, 0.02);

    // The bench's own ramp of 5.5 °C/min; the sensor reads 0.3 °C too high at rest.
    private static LagRecord Beginning(double tau, LagRecord.Taking taking, int seed)
    {
        var (rest, begin, length) = (25 + (seed * 0.002), 60 + (seed * 0.01), 12 * tau);
        return LagRecord.Corners(tau, 0.3, [(0, rest), (begin, rest), (begin + length, rest + (length * 5.5 / 60) + (seed * 0.007))], taking, seed);
    }

    private static LagRecord TwoRates(double tau, LagRecord.Taking taking, int seed) =>
        From(100, LagRecord.Corners(tau, 0.3, [(0, 25), (200 + (seed * 0.013), 75.3 + (seed * 0.007)), (400, 93.6 + (seed * 0.003))], taking, seed));

    private static LagRecord SteadyRamp(double tau, LagRecord.Taking taking, int seed) =>
        From(100, LagRecord.Corners(tau, 0.3, [(0, 25 + (seed * 0.003)), (400, 61.7 + (seed * 0.005))], taking, seed));

    private static LagRecord From(double seconds, LagRecord record)
    {
        var first = Array.FindIndex(record.Seconds, s => s >= seconds);
        return new(record.Seconds[first..], record.Celsius[first..], record.ReferenceCelsius[first..]);
    }

    private static (LagEstimate? Estimate, InputError? Error) Estimate(LagRecord record, KnownOffset? offset = null) =>
        (LagFromReference.Estimate(record.Seconds, record.Celsius, record.ReferenceCelsius, out var error, offset), error);

    private static string Refusal(LagRecord record, KnownOffset? offset = null)
    {
        var (estimate, error) = Estimate(record, offset);
        Assert.Null(estimate);
        Assert.NotNull(error);
        return error.ToString();
    }

    [Fact]
    public void A_perfect_record_gives_time_constant_and_offset()
    {
        Gen.Select(Gen.Double[1, 40], Gen.Double[-3, 3], Gen.Double[0.02, 1]).Sample((tau, offset, rate) =>
        {
            // Corners fall on readings: between readings the reference is taken for straight.
            var end = Math.Ceiling(30 + (10 * tau));
            var record = LagRecord.Corners(tau, offset, [(0, 25), (30, 25), (end, 25 + (rate * (end - 30)))], new(8, 0), 1);
            var (estimate, error) = Estimate(record);
            Assert.Null(error);
            Assert.Equal(tau, estimate!.TimeConstantSeconds, tolerance: 1e-5 * tau);
            Assert.Equal(offset, estimate.OffsetCelsius!.Value, tolerance: 1e-5);
        }, iter: 50);
    }

    [Theory]
    // With a quiet reference, one as noisy as the sensor, one noisier than the sensor; displays of 0.1 °C.
    [InlineData(2.8, 10, 0.05, 0, 0, 0.01, 1.7)]
    [InlineData(15, 10, 0.05, 0.1, 0, 0.05, 1.6)]
    [InlineData(15, 2, 0.1, 0.1, 0.8, 0.1, 1.6)]
    [InlineData(5, 10, 0.01, 0, 0, 0.1, 1.6)]
    [InlineData(5, 10, 0.02, 0.1, 0, 0.02, 3)]
    [InlineData(5, 10, 0, 0.1, 0, 0.02, 2.5)]
    public void The_uncertainty_covers_the_error_where_the_ramp_begins_on_record(double tau, double hertz, double noise, double step, double jitter, double referenceNoise, double widest) =>
        LagCoverage.Check(tau, seed => Estimate(Beginning(tau, new(hertz, noise, step, jitter, referenceNoise), seed)), widest);

    [Theory]
    [InlineData(2.8, 0.05)]
    [InlineData(15, 0.02)]
    public void The_uncertainty_covers_the_error_where_the_rate_changes_on_record(double tau, double referenceNoise) =>
        LagCoverage.Check(tau, seed => Estimate(TwoRates(tau, Good with { ReferenceNoiseCelsius = referenceNoise }, seed)));

    [Fact]
    public void On_one_steady_ramp_offset_and_lag_cannot_be_told_apart_and_that_is_said()
    {
        for (var seed = 0; seed < 100; seed++)
        {
            Assert.Contains("offset and lag cannot be told apart", Refusal(SteadyRamp(15, Good, seed)), StringComparison.Ordinal);
        }

        Assert.Contains("offset and lag cannot be told apart", Refusal(SteadyRamp(15, new(10, 0), 1)), StringComparison.Ordinal);
    }

    [Fact]
    public void With_an_offset_known_from_rest_one_steady_ramp_is_enough()
    {
        // 0.03 °C of the offset are 0.33 s at 5.5 °C/min, and the uncertainty says so.
        LagCoverage.Check(15, seed => Estimate(SteadyRamp(15, Good, seed), new(0.3 + (0.03 * new Noise(seed + 1000).Normal()), 0.03)));
        var (estimate, _) = Estimate(SteadyRamp(15, Good, 1), new(0.3, 0.03));

        Assert.Equal(0.33, estimate!.StandardUncertaintySeconds, tolerance: 0.03);
        Assert.Equal(0.3, estimate.OffsetCelsius);
    }

    [Fact]
    public void Spikes_of_either_thermometer_do_no_harm()
    {
        LagCoverage.Check(15, seed =>
        {
            var record = Beginning(15, Good, seed);
            for (var i = seed % 50; i < record.Celsius.Length - 30; i += 53)
            {
                record.Celsius[i] += 40;
                record.ReferenceCelsius[i + 20] -= 25;
            }

            return Estimate(record);
        });
    }

    [Fact]
    public void A_reference_that_is_slower_than_the_sensor_is_refused()
    {
        var record = LagRecord.Corners(15, 0.3, [(0, 25), (60, 25), (300, 80)], Good, 1);

        Assert.Contains("must be the faster one", Refusal(new(record.Seconds, record.ReferenceCelsius, record.Celsius)), StringComparison.Ordinal);
    }

    [Fact]
    public void What_shows_no_lag_is_refused_with_the_reason()
    {
        var resting = LagRecord.Corners(15, 0.3, [(0, 25), (200, 25)], Good, 1);
        var good = Beginning(15, Good, 1);

        Assert.Contains("the reference changes by", Refusal(resting), StringComparison.Ordinal);
        Assert.StartsWith("offset:", Refusal(good, new(double.NaN, 0.1)), StringComparison.Ordinal);
        Assert.StartsWith("offset:", Refusal(good, new(0.1, -0.1)), StringComparison.Ordinal);
        var reference = (double[])good.ReferenceCelsius.Clone();
        reference[5] = double.PositiveInfinity;
        Assert.StartsWith("trace[5].referenceCelsius:", Refusal(good with { ReferenceCelsius = reference }), StringComparison.Ordinal);
        Assert.Contains("do not go with", Refusal(good with { ReferenceCelsius = good.ReferenceCelsius[..^1] }), StringComparison.Ordinal);
    }
}
