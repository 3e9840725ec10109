namespace Acquire.Benchmarks.Campaigns;

/// <summary>A made-up course of a thermometer on a ramp, with the faults that a thermometer has. Figures are ours: common practice, no source.</summary>
internal sealed record RampScene
{
    /// <summary>Rate before the turn, °C/min.</summary>
    public double From { get; init; } = 5.8;

    /// <summary>Rate behind it, °C/min.</summary>
    public double To { get; init; } = 5.8;

    /// <summary>When it turns, s; up to one second later by seed.</summary>
    public double TurnSeconds { get; init; } = double.PositiveInfinity;

    /// <summary>How long the turn takes, s; the rate changes evenly.</summary>
    public double EasySeconds { get; init; }

    /// <summary>White noise of a reading, °C.</summary>
    public double Noise { get; init; } = 0.05;

    /// <summary>Noise with a memory of <see cref="MemorySeconds"/> beside it, °C.</summary>
    public double SlowNoise { get; init; }

    /// <summary>Time constant of the noise with a memory, s.</summary>
    public double MemorySeconds { get; init; } = 1;

    /// <summary>Step of the display, °C.</summary>
    public double Step { get; init; } = 0.1;

    /// <summary>Readings a second.</summary>
    public double PerSecond { get; init; } = 10;

    /// <summary>Readings spaced by half to one and a half of their mean spacing.</summary>
    public bool Uneven { get; init; }

    /// <summary>A flame warms the thermometer by this every 20 s, °C.</summary>
    public double HumpCelsius { get; init; }

    /// <summary>How long the flame stays, s; the warmth decays with <see cref="HumpDecaySeconds"/>.</summary>
    public double HumpSeconds { get; init; } = 1;

    /// <summary>Time constant of warming and cooling of the thermometer's tip, s.</summary>
    public double HumpDecaySeconds { get; init; } = 0.5;

    /// <summary>Share of wild readings, off by up to 3 °C.</summary>
    public double WildShare { get; init; }

    /// <summary>Share of seconds at the beginning of which the readings are lost for up to 5 s.</summary>
    public double LossShare { get; init; }

    /// <summary>Goes through the readings until the taker has seen enough.</summary>
    /// <param name="seed">Whatever is random follows from it.</param>
    /// <param name="seconds">Length, s.</param>
    /// <param name="take">Takes time, s, and temperature, °C; false: enough.</param>
    /// <returns>When it turns, s.</returns>
    public double Run(int seed, double seconds, Func<double, double, bool> take)
    {
        var random = new CampaignRandom(seed);
        var start = 200 + random.Uniform();
        var turn = TurnSeconds + random.Uniform();
        var hump = 20 * random.Uniform();
        double slow = random.Normal(), warmth = 0, last = 0, lostUntil = 0;
        for (var t = 0.0; t <= seconds; t += (Uneven ? 0.5 + random.Uniform() : 1) / PerSecond)
        {
            if (SlowNoise > 0)
            {
                var keep = Math.Exp(-(t - last) / MemorySeconds);
                slow = (keep * slow) + (Math.Sqrt(1 - (keep * keep)) * random.Normal());
            }

            var flame = (t - hump) % 20 is >= 0 and var since && since < HumpSeconds;
            warmth += (1 - Math.Exp(-(t - last) / HumpDecaySeconds)) * ((flame ? 1 : 0) - warmth);
            lostUntil = LossShare > 0 && Math.Floor(t) > Math.Floor(last) && random.Uniform() < LossShare ? t + (5 * random.Uniform()) : lostUntil;
            last = t;
            var wild = WildShare > 0 && random.Uniform() < WildShare ? (6 * random.Uniform()) - 3 : 0;
            var celsius = start + Risen(t, turn) + (Noise * random.Normal()) + (SlowNoise * slow) + (HumpCelsius * warmth) + wild;
            if (t >= lostUntil && !take(t, Step > 0 ? Math.Round(celsius / Step) * Step : celsius))
            {
                break;
            }
        }

        return turn;
    }

    private double Risen(double t, double turn)
    {
        var risen = From / 60 * t;
        var behind = t - turn;
        if (behind <= 0)
        {
            return risen;
        }

        var change = (To - From) / 60;
        return risen + (behind < EasySeconds ? change * behind * behind / (2 * EasySeconds) : change * (behind - (EasySeconds / 2)));
    }
}
