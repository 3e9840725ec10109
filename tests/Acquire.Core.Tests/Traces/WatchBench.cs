using Acquire.Core.Detection;

namespace Acquire.Core.Tests.Traces;

/// <summary>A detector watch that is fed with a detector at rest, with passes of the test flame and with whatever glows besides.</summary>
/// <remarks>Heights in deviations of one reading; offset and unit are arbitrary. ISO 2592 and ASTM D92: a fire burns for at least 5 s.</remarks>
internal sealed class WatchBench(double perSecond, RestNoise noise, int seed)
{
    public const double FireSeconds = 5;
    private const double Offset = 400, Unit = 0.8, PassSeconds = 1;

    private readonly Noise draw = new(seed);
    private readonly List<WatchEvent> seen = [];
    private double next, now;

    /// <summary>Height and width at half height of the test flame's own bump, s.</summary>
    public double PassHeight { get; init; } = 10;

    public bool Signalled { get; init; } = true;

    public bool Handled { get; set; }

    /// <summary>Whether the determination is over.</summary>
    public bool Over { get; set; }

    public DetectorWatch Watch { get; private set; } = new();

    /// <summary>What was seen, and when it was said.</summary>
    public List<(double At, WatchEvent Seen)> Events { get; } = [];

    public double Now => now;

    /// <summary>Replaces the watch by what a snapshot of it makes.</summary>
    public void Restore(Func<DetectorWatch, DetectorWatch> again) => Watch = again(Watch);

    /// <summary>Goes on until a time.</summary>
    public void Until(double seconds, Func<double, double>? glow = null)
    {
        for (; next < seconds; next += 1 / perSecond)
        {
            now = next;
            Read(glow?.Invoke(now) ?? 0);
        }
    }

    /// <summary>One pass of the flame, which begins now, and the time after it.</summary>
    /// <param name="glow">What glows besides, by time; not a number where no reading comes.</param>
    /// <param name="afterwards">Time that follows, s.</param>
    public void Pass(Func<double, double>? glow = null, double afterwards = 2)
    {
        var start = next;
        var middle = start + (PassSeconds / 2) + (0.04 * draw.Normal());
        var height = PassHeight * draw.Between(0.9, 1.1);
        double All(double t) => (height * Math.Exp(-4 * Math.Log(2) * Math.Pow((t - middle) / 0.6, 2))) + (glow?.Invoke(t) ?? 0);
        if (Signalled)
        {
            Watch.FlameOn(start, FireSeconds, seen);
            Collect();
        }

        Until(start + PassSeconds, All);
        if (Signalled)
        {
            Watch.FlameOff(next, seen);
            Collect();
        }

        Until(start + PassSeconds + afterwards, All);
    }

    private void Read(double glow)
    {
        if (double.IsNaN(glow))
        {
            return;
        }

        Watch.Add(now, Offset + (Unit * (noise.At(now) + glow)), new WatchAsk(FireSeconds, !Signalled && !Handled, Signalled, Handled) { Over = Over }, seen);
        Collect();
    }

    private void Collect()
    {
        foreach (var one in seen)
        {
            Events.Add((now, one));
        }

        seen.Clear();
    }
}
