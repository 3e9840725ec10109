using System.Globalization;

namespace Acquire.Core.Thermometry;

/// <summary>What is known of the difference between a sensor and a reference thermometer at rest.</summary>
/// <param name="Celsius">What the sensor reads above the reference, °C.</param>
/// <param name="StandardUncertaintyCelsius">Standard uncertainty of that, °C; 0 or more.</param>
public readonly record struct KnownOffset(double Celsius, double StandardUncertaintyCelsius);

/// <summary>Time constant of a sensor beside a reference thermometer in a specimen whose temperature changes.</summary>
/// <remarks>
/// Model: the sensor reads what a first-order lag makes of the reference, plus an offset between the two, plus what was left of
/// an earlier state when the record began. The reference is put through the lag rather than the sensor's derivative taken,
/// because a derivative of noise is noise. On one steady ramp, lag and offset look the same (τ·rate): it takes a beginning or
/// an end of the ramp, or a second rate, or an offset known from rest. The result is relative to the reference: its own time
/// constant, if it has one, is to be added.
/// </remarks>
public static class LagFromReference
{
    /// <summary>The time constant; null with a reason where the record does not show one.</summary>
    /// <param name="seconds">Times of the readings, s; ascending.</param>
    /// <param name="celsius">The sensor's readings, °C.</param>
    /// <param name="referenceCelsius">The reference thermometer's readings, °C, at the same times.</param>
    /// <param name="error">Why there is none; null on success.</param>
    /// <param name="offset">What is known of the two at rest; null where it is to be found from the record.</param>
    public static LagEstimate? Estimate(ReadOnlySpan<double> seconds, ReadOnlySpan<double> celsius, ReadOnlySpan<double> referenceCelsius, out InputError? error, KnownOffset? offset = null)
    {
        error = LagTrace.Check(seconds, celsius, "celsius") ?? LagTrace.Check(seconds, referenceCelsius, "referenceCelsius") ?? CheckOffset(offset);
        if (error is not null)
        {
            return null;
        }

        var referenceNoise = LagTrace.Noise(seconds, referenceCelsius);
        var reference = LagTrace.WithoutSpikes(referenceCelsius, LagTrace.Spikes(referenceCelsius, referenceNoise));
        error = LagTrace.CheckChange(reference.Max() - reference.Min(), referenceNoise, "reference");
        if (error is not null)
        {
            return null;
        }

        var noise = LagTrace.Noise(seconds, celsius);
        var spikes = LagTrace.Spikes(celsius, noise);
        var model = new Lagged(seconds, celsius, reference, offset?.Celsius);
        if (SeparableFit.Best(model, Starts(seconds), spikes) is { } start && SeparableFit.From(model, start, spikes) is { } fit)
        {
            return Judge(fit, model, (noise, referenceNoise), celsius, offset, out error);
        }

        error = offset is null ? NotToldApart() : LagTrace.NoFit();
        return null;
    }

    private static InputError? CheckOffset(KnownOffset? offset) =>
        offset is { } known && !(Math.Abs(known.Celsius) <= CalibrationRules.MostCorrectionCelsius && known.StandardUncertaintyCelsius is >= 0 and <= CalibrationRules.MostUncertaintyCelsius)
            ? new("offset", string.Create(CultureInfo.InvariantCulture, $"{known.Celsius} °C with {known.StandardUncertaintyCelsius} °C is not within {-CalibrationRules.MostCorrectionCelsius} to {CalibrationRules.MostCorrectionCelsius} °C with 0 to {CalibrationRules.MostUncertaintyCelsius} °C"))
            : null;

    private static InputError NotToldApart() =>
        new("trace", "offset and lag cannot be told apart: record the beginning or the end of the ramp too, or a second rate, or give the offset of the two thermometers at rest");

    private static List<double[]> Starts(ReadOnlySpan<double> seconds)
    {
        var starts = new List<double[]>();
        var span = seconds[^1] - seconds[0];
        for (var tau = span / seconds.Length / 4; tau < span; tau *= 1.6)
        {
            starts.Add([Math.Log(tau)]);
        }

        return starts;
    }

    private static LagEstimate? Judge(SeparableFit fit, Lagged model, (double Sensor, double Reference) noise, ReadOnlySpan<double> celsius, KnownOffset? offset, out InputError? error)
    {
        var tau = Math.Exp(fit.Parameters[0]);
        var pull = fit.Pull(0);
        var fromReference = tau * model.ReferenceUncertainty(tau, pull, noise.Reference);
        var fromOffset = tau * Math.Abs(pull.Sum()) * (offset?.StandardUncertaintyCelsius ?? 0);
        var estimate = LagTrace.Judge(fit, celsius, noise.Sensor, double.Hypot(fromReference, fromOffset), out error);
        if (estimate is not null)
        {
            return estimate with { OffsetCelsius = offset?.Celsius ?? fit.Linear[^1] };
        }

        error = tau < LagTrace.LeastSeconds ? new("trace", "the sensor does not lag behind the reference: the reference must be the faster one of the two") : offset is null ? NotToldApart() : error;
        return null;
    }

    // Linear: what was left of an earlier state, and the offset unless it is known. Curved: logarithm of the time constant.
    private sealed class Lagged(ReadOnlySpan<double> seconds, ReadOnlySpan<double> celsius, ReadOnlySpan<double> reference, double? offset)
        : SeparableModel(seconds.Length, linear: offset is null ? 2 : 1, curved: 1)
    {
        private readonly double[] _seconds = seconds.ToArray();
        private readonly double[] _celsius = celsius.ToArray();
        private readonly double[] _reference = reference.ToArray();

        public override void Columns(ReadOnlySpan<double> curved, double[] target, double[][] columns)
        {
            var tau = Math.Exp(curved[0]);
            var lag = 0.0;
            for (var i = 0; i < target.Length; i++)
            {
                lag = i == 0 ? 0 : Next(i, tau, lag).Lag;
                target[i] = _celsius[i] - (offset ?? 0) - (_reference[i] - lag);
                columns[0][i] = Math.Exp((_seconds[0] - _seconds[i]) / tau);
                if (columns.Length > 1)
                {
                    columns[1][i] = 1;
                }
            }
        }

        public override void Slopes(ReadOnlySpan<double> curved, ReadOnlySpan<double> linear, double[][] slopes)
        {
            var tau = Math.Exp(curved[0]);
            double lag = 0, growth = 0;
            for (var i = 0; i < _seconds.Length; i++)
            {
                if (i > 0)
                {
                    var (next, rate, left) = Next(i, tau, lag);
                    var constants = (_seconds[i] - _seconds[i - 1]) / tau;
                    growth = (tau * rate * (1 - left)) + (growth * left) + ((lag - (tau * rate)) * left * constants);
                    lag = next;
                }

                var since = (_seconds[i] - _seconds[0]) / tau;
                slopes[0][i] = (linear[0] * since * Math.Exp(-since)) - growth;
            }
        }

        // What errors of the reference add. A result that answers to the sensor's readings by `pull` answers to the
        // reference's through the lag: backwards, from each sensor reading to the reference readings before it.
        public double ReferenceUncertainty(double tau, double[] pull, double noise)
        {
            var through = new double[pull.Length];
            double squares = 0, later = 0;
            for (var i = pull.Length - 1; i >= 0; i--)
            {
                var next = i < pull.Length - 1 ? Shares(i + 1, tau) : default;
                var here = pull[i] + (later * next.Left);
                through[i] = (here * (i > 0 ? Shares(i, tau).Own : 0)) + (later * next.Before);
                squares += through[i] * through[i];
                later = here;
            }

            return double.Hypot(noise * Math.Sqrt(squares), Digitisation.Uncertainty(_reference, through, noise));
        }

        // What the lagged value takes from the reference's reading at the same time, from the one before, and from itself.
        private (double Own, double Before, double Left) Shares(int i, double tau)
        {
            var step = _seconds[i] - _seconds[i - 1];
            var left = Math.Exp(-step / tau);
            var mean = tau * (1 - left) / step;
            return (1 - mean, mean - left, left);
        }

        // By how much the lagged value is behind the reference, exactly for a reference that is straight between readings.
        private (double Lag, double Rate, double Left) Next(int i, double tau, double lag)
        {
            var step = _seconds[i] - _seconds[i - 1];
            var rate = (_reference[i] - _reference[i - 1]) / step;
            var left = Math.Exp(-step / tau);
            return ((tau * rate) + ((lag - (tau * rate)) * left), rate, left);
        }
    }
}
