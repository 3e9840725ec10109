namespace Acquire.Core.Tests.Traces;

/// <summary>A detector at rest, in deviations of one reading: white noise and noise with a memory, and disturbances where they are asked for.</summary>
/// <remarks>All figures are ours: common practice, no source. Times must be asked for in order.</remarks>
internal sealed class RestNoise(int seed, double perSecond)
{
    private const double MemorySeconds = 0.3, MemoryShare = 0.4, DraughtWindowSeconds = 10, DraughtShare = 0.3;

    private readonly Noise noise = new(seed);
    private readonly double keep = Math.Exp(-1 / (perSecond * MemorySeconds));
    private double memory, draughtUntil, draughtSize, draughtHertz, draughtPhase, burstUntil, burstHeight;
    private double walked;
    private int wild;
    private double wildHeight;

    /// <summary>Amplitude of mains hum at 50.03 Hz.</summary>
    public double Hum { get; init; }

    /// <summary>Amplitude of a slow wave of 100 s.</summary>
    public double Wave { get; init; }

    /// <summary>Wandering with no aim: what it is in a second.</summary>
    public double Walk { get; init; }

    /// <summary>Steady warming per second.</summary>
    public double WarmingPerSecond { get; init; }

    /// <summary>Deviation of draught flicker of 1 to 4 Hz, in three of ten windows of ten seconds.</summary>
    public double Draught { get; init; }

    /// <summary>Wild readings of 10 to 40 deviations up or down, per second; one in five is double.</summary>
    public double WildPerSecond { get; init; }

    /// <summary>Bursts of 20 to 60 ms and 10 to 60 deviations, as of water that pops in hot oil, per second.</summary>
    public double BurstsPerSecond { get; init; }

    /// <summary>All of them, as a poor place has them.</summary>
    public static RestNoise Poor(int seed, double perSecond) => new(seed, perSecond)
    {
        Hum = 1,
        Wave = 8,
        WarmingPerSecond = 0.1,
        Draught = 1,
        WildPerSecond = 0.05,
        BurstsPerSecond = 0.05,
    };

    public double At(double t)
    {
        memory = (keep * memory) + (Math.Sqrt(MemoryShare * (1 - (keep * keep))) * noise.Normal());
        walked += Walk > 0 ? Walk * Math.Sqrt(1 / perSecond) * noise.Normal() : 0;
        var value = walked + (Math.Sqrt(1 - MemoryShare) * noise.Normal()) + memory
            + (Hum * Math.Sin(2 * Math.PI * 50.03 * t)) + (Wave * Math.Sin(2 * Math.PI * t / 100)) + (WarmingPerSecond * t);
        return value + Flicker(t) + Wild() + Burst(t);
    }

    private double Flicker(double t)
    {
        if (Draught > 0 && t >= draughtUntil)
        {
            draughtUntil = t + DraughtWindowSeconds;
            draughtSize = noise.Between(0, 1) < DraughtShare ? Draught * Math.Sqrt(2) : 0;
            (draughtHertz, draughtPhase) = (noise.Between(1, 4), noise.Between(0, 6.28));
        }

        return draughtSize > 0 ? draughtSize * Math.Sin((2 * Math.PI * draughtHertz * t) + draughtPhase + Math.Sin(1.3 * t)) : 0;
    }

    private double Wild()
    {
        if (wild > 0)
        {
            wild--;
        }
        else if (WildPerSecond > 0 && noise.Between(0, 1) < WildPerSecond / perSecond)
        {
            wild = noise.Between(0, 1) < 0.2 ? 1 : 0;
            wildHeight = noise.Between(10, 40) * (noise.Between(0, 1) < 0.5 ? -1 : 1);
            return wildHeight;
        }
        else
        {
            wildHeight = 0;
        }

        return wildHeight;
    }

    private double Burst(double t)
    {
        if (BurstsPerSecond > 0 && t >= burstUntil)
        {
            burstHeight = 0;
            if (noise.Between(0, 1) < BurstsPerSecond / perSecond)
            {
                (burstUntil, burstHeight) = (t + noise.Between(0.02, 0.06), noise.Between(10, 60));
            }
        }

        return burstHeight;
    }
}
