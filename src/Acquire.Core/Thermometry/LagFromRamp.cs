using System.Globalization;
using Acquire.Core.Detection;

namespace Acquire.Core.Thermometry;

/// <summary>Time constant of a sensor in a specimen that rested and was then heated at a constant rate.</summary>
/// <remarks>
/// Model: T = T0 until t0, then T = T0 + r·((t − t0) − τ·(1 − exp(−(t − t0)/τ))). Only the bend after t0 tells τ. Whatever else is slow between
/// the heater and the sensor bends the record too, and counts as the sensor's; a record against a reference thermometer
/// (<see cref="LagFromReference"/>) is free of that.
/// </remarks>
public static class LagFromRamp
{
    private const int AtRest = 10;
    private const double LeastTimeConstants = 3;

    // Share of the record, at its end, that is taken for straight when the search starts.
    private const double StraightShare = 0.3;

    /// <summary>The time constant; null with a reason where the record does not show one.</summary>
    /// <param name="seconds">Times of the readings, s; ascending.</param>
    /// <param name="celsius">The readings, °C.</param>
    /// <param name="error">Why there is none; null on success.</param>
    public static LagEstimate? Estimate(ReadOnlySpan<double> seconds, ReadOnlySpan<double> celsius, out InputError? error)
    {
        error = LagTrace.Check(seconds, celsius, "celsius");
        if (error is not null)
        {
            return null;
        }

        var noise = LagTrace.Noise(seconds, celsius);
        var spikes = LagTrace.Spikes(celsius, noise);
        var smooth = LagTrace.WithoutSpikes(celsius, spikes);
        error = LagTrace.CheckChange(Robust.Median(smooth.AsSpan(^AtRest..)) - Robust.Median(smooth.AsSpan(..AtRest)), noise, "temperature");
        if (error is not null)
        {
            return null;
        }

        var model = new RestThenRamp(seconds, celsius);
        if (SeparableFit.Best(model, Starts(seconds, smooth), spikes) is { } start && SeparableFit.From(model, start, spikes) is { } fit)
        {
            return Judge(fit, seconds, celsius, noise, out error);
        }

        error = LagTrace.NoFit();
        return null;
    }

    // The straight end, carried back to the temperature at rest, meets it at t0 + τ; how that splits is tried out.
    private static List<double[]> Starts(ReadOnlySpan<double> seconds, ReadOnlySpan<double> celsius)
    {
        var span = seconds[^1] - seconds[0];
        var straight = seconds.BinarySearch(seconds[^1] - (StraightShare * span));
        straight = Math.Min(straight < 0 ? ~straight : straight, seconds.Length - AtRest);
        var (time, value, slope) = Line(seconds[straight..], celsius[straight..]);
        var meet = time - ((value - Robust.Median(celsius[..AtRest])) / slope);
        var starts = new List<double[]>();
        for (var tau = span / 1000; tau < span / 2; tau *= 1.5)
        {
            starts.Add([Math.Log(tau), meet - tau]);
        }

        return starts;
    }

    private static (double Time, double Value, double Slope) Line(ReadOnlySpan<double> seconds, ReadOnlySpan<double> celsius)
    {
        double time = 0, value = 0, tt = 0, tv = 0;
        for (var i = 0; i < seconds.Length; i++)
        {
            time += seconds[i] / seconds.Length;
            value += celsius[i] / seconds.Length;
        }

        for (var i = 0; i < seconds.Length; i++)
        {
            tt += (seconds[i] - time) * (seconds[i] - time);
            tv += (seconds[i] - time) * (celsius[i] - value);
        }

        return (time, value, tv / tt);
    }

    private static LagEstimate? Judge(SeparableFit fit, ReadOnlySpan<double> seconds, ReadOnlySpan<double> celsius, double noise, out InputError? error)
    {
        var (tau, onset) = (Math.Exp(fit.Parameters[0]), fit.Parameters[1]);
        var after = seconds[^1] - onset;
        error = seconds[AtRest - 1] > onset
            ? new("trace", $"the record does not begin at rest: {AtRest} readings before the ramp are needed")
            : LagTrace.CheckTimeConstant(tau) ?? (after < LeastTimeConstants * tau
                ? new("trace", string.Create(CultureInfo.InvariantCulture, $"the record ends {after:G3} s after the ramp began, less than {LeastTimeConstants} time constants of about {tau:G3} s"))
                : null);
        return error is null && LagTrace.Judge(fit, celsius, noise, 0, out error) is { } estimate ? estimate with { OnsetSeconds = onset } : null;
    }

    // Linear: temperature at rest, rate. Curved: logarithm of the time constant, beginning of the ramp.
    private sealed class RestThenRamp(ReadOnlySpan<double> seconds, ReadOnlySpan<double> celsius) : SeparableModel(seconds.Length, linear: 2, curved: 2)
    {
        private readonly double[] _seconds = seconds.ToArray();
        private readonly double[] _celsius = celsius.ToArray();

        public override void Columns(ReadOnlySpan<double> curved, double[] target, double[][] columns)
        {
            var tau = Math.Exp(curved[0]);
            for (var i = 0; i < target.Length; i++)
            {
                var since = Math.Max(0, _seconds[i] - curved[1]);
                target[i] = _celsius[i];
                columns[0][i] = 1;
                columns[1][i] = since + (tau * Expm1(-since / tau));
            }
        }

        public override void Slopes(ReadOnlySpan<double> curved, ReadOnlySpan<double> linear, double[][] slopes)
        {
            var tau = Math.Exp(curved[0]);
            for (var i = 0; i < _seconds.Length; i++)
            {
                var constants = Math.Max(0, _seconds[i] - curved[1]) / tau;
                var settled = -Expm1(-constants);
                slopes[0][i] = linear[1] * tau * ((constants * (1 - settled)) - settled);
                slopes[1][i] = -linear[1] * settled;
            }
        }

        // exp(x) − 1 without losing the digits of a small x.
        private static double Expm1(double x) => Math.Abs(x) < 1e-5 ? x * (1 + (x / 2)) : Math.Exp(x) - 1;
    }
}
