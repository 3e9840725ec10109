namespace Acquire.Simulator;

/// <summary>One thing the ignition detector sees, in standard deviations of its own noise. It is nothing outside <see cref="FromSeconds"/> to <see cref="ToSeconds"/>.</summary>
internal abstract class Pulse(double fromSeconds, double toSeconds)
{
    public double FromSeconds { get; } = fromSeconds;

    public double ToSeconds { get; } = toSeconds;

    public PulseOrigin Origin { get; init; }

    public abstract double At(double seconds);
}

/// <summary>What a bump in the detector comes from.</summary>
internal enum PulseOrigin
{
    /// <summary>Anything that every detector sees alike.</summary>
    Other,

    /// <summary>The test flame on its way over the cup.</summary>
    Pass,

    /// <summary>The halo round it.</summary>
    Halo,
}

/// <summary>Warmth and light of the passing test flame, or the halo round it.</summary>
internal sealed class BumpPulse(double centreSeconds, double fullWidthSeconds, double sigmas)
    : Pulse(centreSeconds - (2 * fullWidthSeconds), centreSeconds + (2 * fullWidthSeconds))
{
    public double CentreSeconds { get; } = centreSeconds;

    public double FullWidthSeconds { get; } = fullWidthSeconds;

    public double Sigmas { get; } = sigmas;

    /// <summary>1 where the test flame comes from the left, -1 from the right, 0 where that has no meaning.</summary>
    public int FromSide { get; init; }

    public override double At(double seconds)
    {
        var off = (seconds - CentreSeconds) / FullWidthSeconds;
        return Sigmas * Math.Exp(-4 * Math.Log(2) * off * off);
    }
}

/// <summary>A flash: 20 ms to rise, 80 ms over the surface (a front of 0.3 to 1 m/s crosses 63 mm in 60 to 200 ms), 50 ms to fall, and a glow after it.</summary>
internal sealed class FlashPulse(double onsetSeconds, double sigmas, double tailSeconds)
    : Pulse(onsetSeconds, onsetSeconds + LitSeconds + (6 * tailSeconds))
{
    private const double RiseSeconds = 0.020, HoldSeconds = 0.080, FallSeconds = 0.050;
    private const double LitSeconds = RiseSeconds + HoldSeconds + FallSeconds;

    // Share of the peak that the hot gas and the disturbed test flame still give right after the flash; assumed.
    private const double TailShare = 0.25;

    public double Sigmas { get; } = sigmas;

    public double TailSeconds { get; } = tailSeconds;

    public override double At(double seconds)
    {
        var since = seconds - FromSeconds;
        var tail = TailSeconds > 0 && since > RiseSeconds + HoldSeconds ? TailShare * Math.Exp(-(since - RiseSeconds - HoldSeconds) / TailSeconds) : 0;
        var flash = since < RiseSeconds ? since / RiseSeconds
            : since < RiseSeconds + HoldSeconds ? 1
            : Math.Max(0, (LitSeconds - since) / FallSeconds);
        return Sigmas * Math.Max(flash, tail);
    }
}

/// <summary>Burning of the surface with the flicker of a small pool fire, until it goes out or the cover goes on.</summary>
internal sealed class BurnPulse(double onsetSeconds, double endSeconds, double sigmas, IReadOnlyList<Wave> flicker)
    : Pulse(onsetSeconds, endSeconds + 0.3)
{
    /// <summary>The same to a detector that sees a share of it.</summary>
    public BurnPulse Weaker(double share) => new(FromSeconds, endSeconds, share * sigmas, flicker);

    public override double At(double seconds)
    {
        var rise = Math.Min(1, (seconds - FromSeconds) / 0.15);
        var fall = Math.Clamp((endSeconds + 0.3 - seconds) / 0.3, 0, 1);
        var level = 1 + flicker.Sum(seconds);
        return sigmas * rise * fall * Math.Max(0.3, level);
    }
}

/// <summary>A draught that makes the test flame flicker for a while; it may take its time to come and to go.</summary>
internal sealed class DraughtPulse(double fromSeconds, double toSeconds, double sigmas, IReadOnlyList<Wave> flicker, double easeSeconds = 0) : Pulse(fromSeconds, toSeconds)
{
    /// <summary>The same to a detector that sees a share of it.</summary>
    public DraughtPulse Weaker(double share) => new(FromSeconds, ToSeconds, share * sigmas, flicker, easeSeconds);

    public override double At(double seconds)
    {
        var full = sigmas * flicker.Sum(seconds);
        return easeSeconds == 0 ? full : full * Math.Clamp(Math.Min(seconds - FromSeconds, ToSeconds - seconds) / easeSeconds, 0, 1);
    }
}

/// <summary>One slow oscillation.</summary>
internal readonly record struct Wave(double Hertz, double Amplitude, double Phase);

internal static class Waves
{
    /// <summary>Waves spread over a range of frequencies whose sum has the given standard deviation.</summary>
    public static Wave[] Draw(SimulatorRandom random, int count, double fromHertz, double toHertz, double deviation)
    {
        var waves = new Wave[count];
        for (var index = 0; index < count; index++)
        {
            waves[index] = new(random.Between(fromHertz, toHertz), deviation * Math.Sqrt(2.0 / count), random.Between(0, 2 * Math.PI));
        }

        return waves;
    }

    public static double Sum(this IReadOnlyList<Wave> waves, double seconds)
    {
        var sum = 0.0;
        foreach (var wave in waves)
        {
            sum += wave.Amplitude * Math.Sin((2 * Math.PI * wave.Hertz * seconds) + wave.Phase);
        }

        return sum;
    }
}
