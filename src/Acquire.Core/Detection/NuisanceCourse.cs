using System.Numerics;

namespace Acquire.Core.Detection;

/// <summary>One idea of all that a window may show besides a flash and the known course, in units of the noise: what its covariance is made from.</summary>
/// <remarks>
/// Offset and drift are free. What is left of pass and halo is a smooth process of unknown course with the covariance
/// a²·exp(-Δt²/2ℓ²); a draught that makes flame and plume flicker is
/// one that swings, with the covariance v·exp(-Δt²/2ℓ²)·cos(2πfΔt). Noise is what the quiet detector showed.
/// All figures are rounded, so that the inverse of the covariance can be kept from one window to the next: what is rounded is the
/// mixture, never the size of the noise, which is the unit. Equal courses have equal inverses, so nothing depends on what was kept.
/// </remarks>
/// <param name="White">Share of the noise without memory.</param>
/// <param name="Short">Share of the noise with the shortest memory of <see cref="NoiseSpectrum.TimesSeconds"/>.</param>
/// <param name="Middle">Likewise, the next.</param>
/// <param name="Long">Likewise, the longest.</param>
/// <param name="Walk">Growth of the walk's variance, 1/s.</param>
/// <param name="Slow">Deviation a of the smooth process.</param>
/// <param name="SlowSeconds">Its ℓ, s.</param>
/// <param name="Flicker">Variance of the flicker.</param>
/// <param name="Free">Deviation of the offset, and of the drift in a second.</param>
internal readonly record struct NuisanceCourse(
    double White, double Short, double Middle, double Long, double Walk, double Slow, double SlowSeconds, double Flicker, double Free)
{
    // A flame in a draught flickers some one to four times a second, and mostly keeps no beat: so wide a band about so many hertz.
    private const double UsualHertz = 2.5;
    private const double UsualBeatSeconds = 0.22;

    // Where it keeps one, it does so for some swings.
    private const double SteadyBeatSeconds = 0.4;

    // The frequency of a hum is known and steady to so little that its beat holds for so long, s.
    private const double HumSeconds = 4;
    private const double HumStepsPerHertz = 100;

    // Steps by which shares of the noise are rounded, and its least part without memory.
    private const double Parts = 32;
    private const double LeastWhite = 1 / 64.0;

    // The walk's variance is compared with the rest at the length of a flash, s.
    private const double WalkSeconds = 0.3;

    /// <summary>About how often the flicker swings, Hz.</summary>
    public double FlickerHertz { get; init; } = UsualHertz;

    /// <summary>How long it keeps its beat, s: the deviation of a bell.</summary>
    public double BeatSeconds { get; init; } = UsualBeatSeconds;

    /// <summary>Variance of the hum of the mains in a point.</summary>
    public double Hum { get; init; }

    /// <summary>Where it stands in the readings, Hz.</summary>
    public double HumHertz { get; init; }

    /// <summary>Describes the noise of one point and the largest slow height; the unit is the deviation of the noise.</summary>
    /// <param name="noise">Noise of a single reading, in any unit.</param>
    /// <param name="weight">Readings that a point stands for.</param>
    /// <param name="leastNoise">Deviation that the part without memory is not below, same unit.</param>
    /// <param name="slowHeight">Largest height of what is slow, same unit.</param>
    /// <param name="spacing">Time between points, s.</param>
    /// <returns>The course, and the noise's deviation in the unit given.</returns>
    public static (NuisanceCourse Course, double Unit) Of(NoiseSpectrum noise, double weight, double leastNoise, double slowHeight, double spacing)
    {
        var white = Math.Max(noise.WhiteWithHum, leastNoise * leastNoise) / weight;
        var walk = 0.5 * WalkSeconds * noise.Walk;
        var all = Math.Max(white + noise.Memory[0] + noise.Memory[1] + noise.Memory[2] + walk, LeastVariance(slowHeight));
        var course = new NuisanceCourse(
            Math.Max(LeastWhite, Rounded(white / all)), Rounded(noise.Memory[0] / all), Rounded(noise.Memory[1] / all), Rounded(noise.Memory[2] / all),
            Rounded(walk / all) * 2 / WalkSeconds, 0, 0.2, 0, 0);
        var kept = course.White + course.Short + course.Middle + course.Long + (0.5 * WalkSeconds * course.Walk);
        var unit = Math.Sqrt(all / kept);
        var slow = Octaves(slowHeight / unit);
        course = course with { Slow = slow, Free = 10 * slow };
        return noise.HumByTimes
            ? (course, unit)
            : (course with { Hum = Rounded(noise.Hum * Kept(noise.HumHertz, weight, spacing) / (unit * unit)), HumHertz = Math.Round(noise.HumHertz * HumStepsPerHertz) / HumStepsPerHertz }, unit);
    }

    // Share of a hum's variance that the mean of neighbouring readings keeps.
    private static double Kept(double hertz, double weight, double spacing)
    {
        var half = Math.PI * hertz * spacing;
        var one = weight * Math.Sin(half / weight);
        return weight <= 1 || one == 0 ? 1 : Math.Sin(half) * Math.Sin(half) / (one * one);
    }

    /// <summary>Variance of the noise of a point, without the walk.</summary>
    public double Variance => White + Short + Middle + Long;

    /// <summary>The same noise with less that is slow, at most what it was.</summary>
    public NuisanceCourse WithSlow(double slow, double seconds) => this with { Slow = Math.Min(Slow, Octaves(slow)), SlowSeconds = seconds };

    /// <summary>The same with a flicker of so many deviations of a point.</summary>
    public NuisanceCourse WithFlicker(double deviations) => this with { Flicker = deviations * deviations * (Variance + Hum) };

    /// <summary>The same with a flicker that keeps its beat for some swings.</summary>
    /// <param name="deviations">Its size, deviations of a point.</param>
    /// <param name="hertz">How often it swings, Hz; above 0.</param>
    public NuisanceCourse WithBeat(double deviations, double hertz) => WithFlicker(deviations) with { FlickerHertz = hertz, BeatSeconds = SteadyBeatSeconds };

    /// <summary>Fills the lower triangle of the covariance of points, row by row.</summary>
    /// <param name="times">Their times, s.</param>
    /// <param name="covariance">Room for n × n values.</param>
    /// <param name="table">Room for n values where the points are evenly spaced; empty where they are not.</param>
    public void Fill(ReadOnlySpan<double> times, Span<double> covariance, Span<double> table)
    {
        var n = times.Length;
        var middle = (times[0] + times[n - 1]) / 2;
        var free = Free * Free;
        for (var k = 0; k < table.Length; k++)
        {
            table[k] = At(times[k] - times[0]) + free;
        }

        for (var i = 0; i < n; i++)
        {
            var row = covariance.Slice(i * n, i + 1);
            var fromMiddle = free * (times[i] - middle);
            var j = 0;
            if (table.IsEmpty)
            {
                var (here, at, offset, slope) = (new Vector<double>(times[i]), new Vector<double>(middle), new Vector<double>(free), new Vector<double>(fromMiddle));
                for (; j <= i + 1 - Vector<double>.Count; j += Vector<double>.Count)
                {
                    var there = new Vector<double>(times[j..]);
                    (At(here - there) + offset + (slope * (there - at))).CopyTo(row[j..]);
                }
            }

            for (; j <= i; j++)
            {
                row[j] = (table.IsEmpty ? At(times[i] - times[j]) + free : table[i - j]) + (fromMiddle * (times[j] - middle));
            }

            row[i] += White;
        }
    }

    /// <summary>Fills the covariances of evenly spaced points 0, 1, 2 … spacings apart, drift left out, and of the offset only what keeps a walk from being negative.</summary>
    /// <param name="spacing">Time between points, s.</param>
    /// <param name="covariances">Receives them.</param>
    /// <returns>Variance of the rest of the offset.</returns>
    public double FillEven(double spacing, Span<double> covariances)
    {
        var offset = 0.5 * Walk * spacing * (covariances.Length - 1);
        for (var k = 0; k < covariances.Length; k++)
        {
            covariances[k] = At(k * spacing) + offset;
        }

        covariances[0] += White;
        return (Free * Free) - offset;
    }

    // Covariance of what does not depend on when it is, points so far apart.
    private double At(double lag)
    {
        var (slow, quick) = (lag / SlowSeconds, lag / BeatSeconds);
        var times = NoiseSpectrum.TimesSeconds;
        var hum = Hum == 0 ? 0 : Hum * Math.Exp(-0.5 * lag * lag / (HumSeconds * HumSeconds)) * Math.Cos(2 * Math.PI * HumHertz * lag);
        return hum + (Slow * Slow * Math.Exp(-0.5 * slow * slow)) + (Flicker * Math.Exp(-0.5 * quick * quick) * Math.Cos(2 * Math.PI * FlickerHertz * lag)) - (0.5 * Walk * lag)
            + (Short * Math.Exp(-lag / times[0])) + (Middle * Math.Exp(-lag / times[1])) + (Long * Math.Exp(-lag / times[2]));
    }

    // The same for several at once; what is not there is not computed.
    private Vector<double> At(Vector<double> lag)
    {
        var times = NoiseSpectrum.TimesSeconds;
        var square = lag * lag;
        var sum = (Slow * Slow * Vector.Exp(square * (-0.5 / (SlowSeconds * SlowSeconds)))) - (0.5 * Walk * lag);
        sum += Flicker == 0 ? Vector<double>.Zero : Flicker * Vector.Exp(square * (-0.5 / (BeatSeconds * BeatSeconds))) * Vector.Cos(2 * Math.PI * FlickerHertz * lag);
        sum += Hum == 0 ? Vector<double>.Zero : Hum * Vector.Exp(square * (-0.5 / (HumSeconds * HumSeconds))) * Vector.Cos(2 * Math.PI * HumHertz * lag);
        sum += Short == 0 ? Vector<double>.Zero : Short * Vector.Exp(lag * (-1 / times[0]));
        sum += Middle == 0 ? Vector<double>.Zero : Middle * Vector.Exp(lag * (-1 / times[1]));
        return sum + (Long == 0 ? Vector<double>.Zero : Long * Vector.Exp(lag * (-1 / times[2])));
    }

    // Below a hundred thousandth of what is slow the noise is lost in the rounding of the covariance.
    private static double LeastVariance(double slowHeight) => 1e-10 * slowHeight * slowHeight;

    private static double Rounded(double share) => Math.Round(share * Parts) / Parts;

    // How large a free course is allowed to be matters little: half octaves are enough.
    private static double Octaves(double ratio) => Math.Pow(2, Math.Ceiling(2 * Math.Log2(Math.Max(ratio, 1e-3))) / 2);
}
