using System.Globalization;
using Acquire.Core.Detection;

namespace Acquire.Core.Thermometry;

/// <summary>Time constant of a sensor that was plunged from one temperature into another and left there.</summary>
/// <remarks>
/// Model: T = T∞ + (T0 − T∞)·exp(−(t − t0)/τ). Its readings are used from a quarter of the step on: until then the plunge itself takes
/// time, and what a sheath adds is not exponential. From there on T0 and t0 are one parameter, and the rest before the
/// plunge need not be on record. A sensor that responds in two stages gives the slower one; on a ramp it lags by both.
/// </remarks>
public static class LagFromStep
{
    // From which part of the step on the response counts as exponential, and by which part one time constant later.
    private const double Departed = 0.25;
    private const double Settling = Departed + ((1 - Departed) * 0.632);

    // A plunge is tens of degrees; one that is not far above the noise is a mistake.
    private const double LeastTimesNoise = 20;

    private const double MostRangeSteps = 1.2;

    private const int FewestReadings = LagTrace.FewestReadings / 2;
    private const int LevelReadings = 5;
    private const double LeastTimeConstants = 3;
    private const int FewestInOneTimeConstant = 3;
    private const double MostScatterShare = 0.05;
    private const double MostScatterNoise = 8;
    private const double LeastNoiseCelsius = 0.02;

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
        var step = new Step(smooth, noise);
        var begin = step.Reaches(Departed);
        error = step.Check() ?? (smooth.Length - begin < FewestReadings ? new("trace", $"only {smooth.Length - begin} readings after the step began: {FewestReadings} are needed") : null);
        if (error is not null)
        {
            return null;
        }

        var guess = Math.Log(seconds[Math.Max(begin + 1, step.Reaches(Settling))] - seconds[begin]);
        if (SeparableFit.From(new Decay(seconds[begin..], celsius[begin..]), [guess], spikes.AsSpan(begin..)) is { } fit)
        {
            return Judge(fit, step, seconds, celsius, out error);
        }

        error = LagTrace.NoFit();
        return null;
    }

    private static LagEstimate? Judge(SeparableFit fit, Step step, ReadOnlySpan<double> seconds, ReadOnlySpan<double> celsius, out InputError? error)
    {
        var begin = step.Reaches(Departed);
        var tau = Math.Exp(fit.Parameters[0]);
        var (final, rest) = (fit.Linear[0], fit.Linear[1]);
        var onset = seconds[begin] - (tau * Math.Log(Math.Max(1, (step.From - final) / rest)));
        error = LagTrace.CheckTimeConstant(tau) ?? CheckOneExponential(onset - seconds[0], fit.Scatter, step.Noise) ?? CheckRecord(seconds[^1] - onset, tau, fit.Scatter, step.Size)
            ?? (seconds[begin + FewestInOneTimeConstant] - seconds[begin] > tau
                ? new("trace", string.Create(CultureInfo.InvariantCulture, $"fewer than {FewestInOneTimeConstant} readings in the first time constant of about {tau:G3} s: read more often"))
                : null);
        if (error is not null || LagTrace.Judge(fit, celsius[begin..], step.Noise, 0, out error) is not { } estimate)
        {
            return null;
        }

        var departed = step.Reaches(step.FirstSign);
        return estimate with { OnsetSeconds = onset, DelaySeconds = departed > LevelReadings ? Math.Max(0, onset - seconds[departed]) : null };
    }

    private static InputError? CheckRecord(double length, double tau, double scatter, double size) =>
        length < LeastTimeConstants * tau ? new("trace", string.Create(CultureInfo.InvariantCulture, $"the record ends {length:G3} s after the step began, less than {LeastTimeConstants} time constants of about {tau:G3} s"))
        : scatter > MostScatterShare * Math.Abs(size) ? new("trace", string.Create(CultureInfo.InvariantCulture, $"the readings scatter by {scatter:0.00} °C about an exponential step of {Math.Abs(size):0.00} °C: this is not one step into a steady temperature"))
        : null;

    // The step as one sees it before anything is fitted.
    // Two stages of unlike speed fit one exponential badly: its onset slides to before the plunge, its scatter grows out of the noise.
    private static InputError? CheckOneExponential(double onsetSeconds, double scatterCelsius, double noiseCelsius) =>
        onsetSeconds < 0 || scatterCelsius > MostScatterNoise * Math.Max(noiseCelsius, LeastNoiseCelsius)
            ? new("trace", string.Create(CultureInfo.InvariantCulture, $"the readings do not settle as one exponential: they lie {scatterCelsius:0.000} °C about it with a noise of {noiseCelsius:0.000} °C, and it would have begun {onsetSeconds:0.0} s after the record. A sensor with a slow and a fast stage has no single time constant; measure its lag on a ramp beside a reference"))
            : null;

    private sealed class Step(double[] celsius, double noise)
    {
        public double Noise { get; } = noise;

        public double From { get; } = Robust.Median(celsius.AsSpan(..LevelReadings));

        public double Size { get; } = Robust.Median(celsius.AsSpan(^LevelReadings..)) - Robust.Median(celsius.AsSpan(..LevelReadings));

        // Share of the step at which a departure shows in the noise; not below a hundredth.
        public double FirstSign => Math.Max(0.01, 4 * Noise / Math.Abs(Size));

        public InputError? Check()
        {
            var range = celsius.Max() - celsius.Min();
            var least = Math.Max(LeastTimesNoise * Noise, 1e-6);
            return range < least ? new("trace", string.Create(CultureInfo.InvariantCulture, $"there is no step: the readings change by {range:0.00} °C, less than {LeastTimesNoise} times their noise of {Noise:0.000} °C"))
                : range > (MostRangeSteps * Math.Abs(Size)) + (least / 2) ? new("trace", string.Create(CultureInfo.InvariantCulture, $"the readings range over {range:0.0} °C and end {Math.Abs(Size):0.0} °C from where they began: the record must hold one step and no other"))
                : Math.Abs(Size) < least ? new("trace", string.Create(CultureInfo.InvariantCulture, $"the step of {Math.Abs(Size):0.00} °C is less than {LeastTimesNoise} times the noise of {Noise:0.000} °C"))
                : null;
        }

        // Where the readings come to a share of the step for good: from where half of it is over, back or on.
        public int Reaches(double share)
        {
            var i = 1;
            while (i < celsius.Length - 1 && (celsius[i] - From) / Size < Math.Max(share, 0.5))
            {
                i++;
            }

            while (i > 1 && (celsius[i - 1] - From) / Size >= share)
            {
                i--;
            }

            return i;
        }
    }

    // Linear: final temperature, and what is left to it at the first reading. Curved: logarithm of the time constant.
    private sealed class Decay(ReadOnlySpan<double> seconds, ReadOnlySpan<double> celsius) : SeparableModel(seconds.Length, linear: 2, curved: 1)
    {
        private readonly double[] _seconds = seconds.ToArray();
        private readonly double[] _celsius = celsius.ToArray();

        public override void Columns(ReadOnlySpan<double> curved, double[] target, double[][] columns)
        {
            var rate = Math.Exp(-curved[0]);
            for (var i = 0; i < target.Length; i++)
            {
                target[i] = _celsius[i];
                columns[0][i] = 1;
                columns[1][i] = Math.Exp((_seconds[0] - _seconds[i]) * rate);
            }
        }

        public override void Slopes(ReadOnlySpan<double> curved, ReadOnlySpan<double> linear, double[][] slopes)
        {
            var rate = Math.Exp(-curved[0]);
            for (var i = 0; i < _seconds.Length; i++)
            {
                var constants = (_seconds[i] - _seconds[0]) * rate;
                slopes[0][i] = linear[1] * constants * Math.Exp(-constants);
            }
        }
    }
}
