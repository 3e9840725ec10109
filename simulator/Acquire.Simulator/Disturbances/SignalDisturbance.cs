namespace Acquire.Simulator;

/// <summary>What disturbances do to the readings of one detector on their way: hum, wandering, wild readings, the end of the converter.</summary>
internal sealed class SignalDisturbance
{
    private const double DriftPullSeconds = 60;

    private readonly IReadOnlyList<Disturbance> all;
    private readonly Disturbance[] hums;
    private readonly Disturbance[] drifts;
    private readonly IReadOnlyList<Spike> spikes;
    private readonly SimulatorRandom random;
    private readonly double humHertz;
    private readonly double humPhase;
    private double drift;
    private int nextSpike;

    /// <param name="options">The run.</param>
    /// <param name="endSeconds">End of the record, s.</param>
    /// <param name="isSecond">Whether this is the second detector: it has wires and numbers of its own.</param>
    public SignalDisturbance(SimulatorOptions options, double endSeconds, bool isSecond)
    {
        all = options.Disturbances;
        hums = all.Of(DisturbanceKind.Hum);
        drifts = all.Of(DisturbanceKind.Drift);
        spikes = Spike.Draw(options, endSeconds, isSecond);
        random = new(options.Seed, isSecond ? RandomPurpose.SecondWires : RandomPurpose.Wires);
        humHertz = options.HumHertz ?? options.Scene.HumHertz;
        humPhase = random.Between(0, 2 * Math.PI);
    }

    /// <summary>What is added to a reading that was made so long after the one before, sigma. Moments come in order.</summary>
    public double Next(double seconds, double sincePrevious)
    {
        var sum = 0.0;
        foreach (var hum in hums)
        {
            sum += hum.IsAt(seconds) ? hum.StrengthOrUsual * Math.Sin((2 * Math.PI * humHertz * seconds) + humPhase) : 0;
        }

        if (drifts.Length > 0)
        {
            drift -= drift * sincePrevious / DriftPullSeconds;
            foreach (var wander in drifts)
            {
                drift += wander.IsAt(seconds) ? wander.StrengthOrUsual * Math.Sqrt(sincePrevious) * random.NextGaussian() : 0;
            }
        }

        // What lies between two readings is met by the later one, whatever the rate.
        for (; nextSpike < spikes.Count && spikes[nextSpike].Seconds <= seconds; nextSpike++)
        {
            sum += spikes[nextSpike].Sigmas;
        }

        return sum + drift;
    }

    /// <summary>What the converter makes of a reading, sigma.</summary>
    public double Converted(double seconds, double sigmas) =>
        all.At(DisturbanceKind.Saturation, seconds) is { } end ? Math.Min(end.StrengthOrUsual, sigmas) : sigmas;
}
