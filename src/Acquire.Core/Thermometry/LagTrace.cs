using System.Globalization;
using Acquire.Core.Detection;

namespace Acquire.Core.Thermometry;

/// <summary>What every estimate of a lag asks of its record.</summary>
internal static class LagTrace
{
    /// <summary>Fewest readings of a record.</summary>
    public const int FewestReadings = 20;

    /// <summary>Most readings of a record: an hour at 50 a second.</summary>
    public const int MostReadings = 180_000;

    /// <summary>A change has to be this many times the noise to be one: noise alone ranges over nine times itself in a long record.</summary>
    public const double LeastTimesNoise = 10;

    /// <summary>Time constants that can be estimated, s: those a chain can be given.</summary>
    public const double LeastSeconds = 0.01;

    /// <summary>See <see cref="LeastSeconds"/>.</summary>
    public const double MostSeconds = 300;

    // A reading this many times the noise away from the middle one of it and its neighbours is a spike. Where readings rise or
    // fall steadily, however fast, each is its own middle one.
    private const double SpikeTimesNoise = 8;

    /// <summary>An estimate has to be this much larger than its standard uncertainty.</summary>
    public const double LeastTimesUncertainty = 4;

    /// <summary>What is wrong with a record; null where nothing is.</summary>
    public static InputError? Check(ReadOnlySpan<double> seconds, ReadOnlySpan<double> celsius, string name)
    {
        if (seconds.Length != celsius.Length)
        {
            return new("trace", $"{seconds.Length} times do not go with {celsius.Length} values of {name}");
        }

        if (seconds.Length is < FewestReadings or > MostReadings)
        {
            return new("trace", string.Create(CultureInfo.InvariantCulture, $"{seconds.Length} readings are not within {FewestReadings} to {MostReadings}"));
        }

        for (var i = 0; i < seconds.Length; i++)
        {
            if (!double.IsFinite(seconds[i]) || (i > 0 && seconds[i] <= seconds[i - 1]))
            {
                return new($"trace[{i}].seconds", string.Create(CultureInfo.InvariantCulture, $"{seconds[i]} is not later than the reading before"));
            }

            if (!(celsius[i] is >= CalibrationRules.ColdestCelsius and <= CalibrationRules.HottestCelsius))
            {
                return new($"trace[{i}].{name}", string.Create(CultureInfo.InvariantCulture, $"{celsius[i]} is not within {CalibrationRules.ColdestCelsius} to {CalibrationRules.HottestCelsius}"));
            }
        }

        return null;
    }

    /// <summary>Noise of single readings, °C: how far each lies from the line through its neighbours. What changes slowly drops out.</summary>
    public static double Noise(ReadOnlySpan<double> seconds, ReadOnlySpan<double> celsius)
    {
        var bends = new double[celsius.Length - 2];
        for (var i = 1; i <= bends.Length; i++)
        {
            var share = (seconds[i] - seconds[i - 1]) / (seconds[i + 1] - seconds[i - 1]);
            var line = ((1 - share) * celsius[i - 1]) + (share * celsius[i + 1]);
            bends[i - 1] = (celsius[i] - line) / Math.Sqrt(1 + ((1 - share) * (1 - share)) + (share * share));
        }

        // The one is misled by coarse steps, the other by a record that bends along most of its length: neither downwards.
        return Math.Min(Robust.Scale(bends), TrimmedScale.Of(bends));
    }

    /// <summary>Which readings are spikes: alone, and far from both neighbours.</summary>
    public static bool[] Spikes(ReadOnlySpan<double> celsius, double noise)
    {
        var limit = Math.Max(SpikeTimesNoise * noise, 1e-3);
        var spikes = new bool[celsius.Length];
        for (var i = 1; i < spikes.Length - 1; i++)
        {
            spikes[i] = Math.Abs(celsius[i] - Robust.Median3(celsius[i - 1], celsius[i], celsius[i + 1])) > limit;
        }

        // At the ends, far from the line through the two beside it, which has three times the noise.
        spikes[0] = Math.Abs(celsius[0] - (2 * celsius[1]) + celsius[2]) > 3 * limit;
        spikes[^1] = Math.Abs(celsius[^1] - (2 * celsius[^2]) + celsius[^3]) > 3 * limit;
        return spikes;
    }

    /// <summary>The readings with each spike replaced by the nearer one of its neighbours.</summary>
    public static double[] WithoutSpikes(ReadOnlySpan<double> celsius, ReadOnlySpan<bool> spikes)
    {
        var repaired = celsius.ToArray();
        for (var i = 1; i < repaired.Length - 1; i++)
        {
            repaired[i] = spikes[i] ? Robust.Median3(celsius[i - 1], celsius[i], celsius[i + 1]) : celsius[i];
        }

        repaired[0] = spikes[0] ? repaired[1] : repaired[0];
        repaired[^1] = spikes[^1] ? repaired[^2] : repaired[^1];
        return repaired;
    }

    /// <summary>The reason where a change is lost in the noise; null where it is not.</summary>
    public static InputError? CheckChange(double change, double noise, string name) => Math.Abs(change) >= Math.Max(LeastTimesNoise * noise, 1e-6)
        ? null
        : new("trace", string.Create(CultureInfo.InvariantCulture, $"there is no ramp: the {name} changes by {Math.Abs(change):0.00} °C, less than {LeastTimesNoise} times its noise of {noise:0.000} °C"));

    /// <summary>The estimate from a fit whose first parameter is the logarithm of the time constant; null with a reason where it tells too little.</summary>
    /// <param name="fit">The fit.</param>
    /// <param name="celsius">The readings it was made to, °C.</param>
    /// <param name="noise">Noise of single readings, °C.</param>
    /// <param name="besideSeconds">Standard uncertainty of the time constant from anything beside these readings, s.</param>
    /// <param name="error">The reason.</param>
    public static LagEstimate? Judge(SeparableFit fit, ReadOnlySpan<double> celsius, double noise, double besideSeconds, out InputError? error)
    {
        var tau = Math.Exp(fit.Parameters[0]);
        var readings = double.Hypot(fit.StandardUncertainty(0), Digitisation.Uncertainty(celsius, fit.Pull(0), noise));
        var uncertainty = double.Hypot(tau * readings, besideSeconds);
        error = CheckTimeConstant(tau) ?? (uncertainty * LeastTimesUncertainty > tau
            ? new("trace", string.Create(CultureInfo.InvariantCulture, $"the time constant comes out as {tau:G3} s with a standard uncertainty of {uncertainty:G2} s: this record does not show it"))
            : null);
        return error is null ? new(tau, uncertainty, fit.Scatter, fit.Used, fit.LeftOut) : null;
    }

    /// <summary>The reason where a time constant is none that a chain can be given; null otherwise.</summary>
    public static InputError? CheckTimeConstant(double tau) =>
        tau < LeastSeconds ? new("trace", string.Create(CultureInfo.InvariantCulture, $"the time constant comes out below {LeastSeconds} s: this record does not show it"))
        : tau > MostSeconds ? new("trace", string.Create(CultureInfo.InvariantCulture, $"the time constant comes out above {MostSeconds} s: this record does not show it"))
        : null;

    /// <summary>The reason for a fit that does not settle.</summary>
    public static InputError NoFit() => new("trace", "no time constant fits this record: the fit does not converge");
}
