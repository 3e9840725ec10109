namespace Acquire.Core.Detection;

/// <summary>Covariance of a quiet detector: a part without memory, parts with short and longer memory, and a walk.</summary>
/// <remarks>
/// The covariance of two readings Δt apart is Σ vᵢ·exp(-Δt/τᵢ), a sum of Ornstein-Uhlenbeck processes with the fixed times
/// <see cref="TimesSeconds"/>; a walk of variance w·t is what no window of a few seconds can tell from a still longer memory.
/// </remarks>
/// <param name="White">Variance of the part that changes from reading to reading, square of the detector's unit.</param>
/// <param name="Memory">Variances of the parts with a memory, one for each of <see cref="TimesSeconds"/>.</param>
/// <param name="Walk">Growth of the walk's variance, square of the detector's unit per second.</param>
public sealed record NoiseSpectrum(double White, IReadOnlyList<double> Memory, double Walk)
{
    /// <summary>Variance of the hum of the mains, square of the detector's unit; 0 or above. In none of the other figures.</summary>
    public double Hum { get; init; }

    /// <summary>Where the hum stands in the readings, Hz: what they fold it to, or its own frequency where they come unevenly.</summary>
    public double HumHertz { get; init; }

    /// <summary>Whether the readings come unevenly, and the hum stands at its own frequency: where it is not taken off them it is noise without memory.</summary>
    public bool HumByTimes { get; init; }

    /// <summary>The part without memory, with a hum that folds to no frequency; square of the detector's unit.</summary>
    internal double WhiteWithHum => HumByTimes ? White + Hum : White;

    /// <summary>Memories that a quiet detector is described by, s.</summary>
    public static IReadOnlyList<double> TimesSeconds { get; } = [0.04, 0.15, 0.6];

    // A flash is over within so long, s.
    private const double FlashSeconds = 0.1;

    // The longest time that the structure function is taken at, s.
    private const double LongSeconds = 1.2;

    /// <summary>Variance of one reading, without the walk, square of the detector's unit.</summary>
    public double Variance => White + Covariance(0);

    /// <summary>Growth of the variance of what the detector wanders in some seconds, square of the detector's unit per second.</summary>
    /// <remarks>From the growth at the longest times that are looked at: half a second more or less of memory cannot be told from a walk there.</remarks>
    public double LongWalk => 2 * (HalfSquareDifference(LongSeconds) - HalfSquareDifference(LongSeconds / 2)) / (LongSeconds / 2);

    /// <summary>Noise without memory of a given deviation, detector's unit.</summary>
    public static NoiseSpectrum OfWhite(double deviation) => new(deviation * deviation, [0, 0, 0], 0);

    /// <summary>The same mixture with all variances larger by a factor, and the hum as it is now.</summary>
    internal NoiseSpectrum Times(double factor, MainsHum hum)
    {
        var memory = new double[Memory.Count];
        for (var i = 0; i < memory.Length; i++)
        {
            memory[i] = factor * Memory[i];
        }

        return this with { White = factor * White, Memory = memory, Walk = factor * Walk, Hum = hum.Variance, HumHertz = hum.Hertz, HumByTimes = hum.ByTimes };
    }

    /// <summary>Half the mean square of the difference of two readings so far apart (the structure function), square of the detector's unit.</summary>
    /// <param name="seconds">Time between the readings, s; above 0.</param>
    public double HalfSquareDifference(double seconds)
    {
        var sum = White + (0.5 * Walk * seconds);
        for (var i = 0; i < Memory.Count; i++)
        {
            sum += Memory[i] * (1 - Math.Exp(-seconds / TimesSeconds[i]));
        }

        return sum;
    }

    /// <summary>How far the detector strays by itself while a flash lasts, in means over its rise; detector's unit.</summary>
    /// <param name="spacing">Time between readings, s; above 0.</param>
    public double Stray(double spacing) => Math.Sqrt(HalfSquareDifference(FlashSeconds) - (White * (1 - Math.Min(1, spacing / FlashShapes.RiseSeconds))));

    /// <summary>Covariance of what has a memory, two readings so far apart, square of the detector's unit.</summary>
    public double Covariance(double seconds)
    {
        double sum = 0;
        for (var i = 0; i < Memory.Count; i++)
        {
            sum += Memory[i] * Math.Exp(-seconds / TimesSeconds[i]);
        }

        return sum;
    }
}
