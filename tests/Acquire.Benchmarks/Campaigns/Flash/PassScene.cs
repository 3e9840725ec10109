namespace Acquire.Benchmarks.Campaigns.Flash;

/// <summary>One pass of the test flame in a scene, s; the halo as a share of the largest.</summary>
internal readonly record struct ScenePass(double Start, double End, double Halo)
{
    public double Middle => (Start + End) / 2;
}

/// <summary>A sequence of passes as one or two detectors see them, with the truth.</summary>
internal sealed class PassScene
{
    /// <summary>Lag of the confirming detector, s.</summary>
    public const double SecondLagSeconds = 0.05;

    /// <summary>How long the test flame stays, s.</summary>
    public const double PassSeconds = 1;

    /// <summary>Within so long the rate of the drift changes, s.</summary>
    public const double DriftSeconds = 10;

    private const double LeadSeconds = 20, TailSeconds = 3, AroundSeconds = 1.5;

    public required double[] Times { get; init; }

    public required double[] First { get; init; }

    public required double[]? Second { get; init; }

    public required ScenePass[] Passes { get; init; }

    /// <summary>Onset of the flash in the last pass, s; NaN without one.</summary>
    public required double Onset { get; init; }

    public static PassScene Draw(ulong seed, SceneOptions options)
    {
        var random = new SceneRandom(seed);
        var passes = DrawPasses(options, random);
        var n = (int)((passes[^1].End + TailSeconds) * options.RowsPerSecond) + 1;
        var times = new double[n];
        for (var i = 0; i < n; i++)
        {
            times[i] = (i + (options.TimeScatter > 0 ? options.TimeScatter * random.Between(0, 1) : 0)) / options.RowsPerSecond;
        }

        var first = new double[n];
        var second = options.Two ? new double[n] : null;
        var onset = double.NaN;
        var coupling = random.Between(options.CouplingFrom, options.CouplingTo);
        for (var k = 0; k < passes.Length; k++)
        {
            var flashes = options.FlashSigma > 0 && k == passes.Length - 1;
            var drawn = DrawSignals(passes[k], options, random, flashes, coupling);
            onset = flashes ? drawn.First.Onset : onset;
            var from = Math.Max(0, (int)((passes[k].Start - AroundSeconds) * options.RowsPerSecond));
            var to = Math.Min(n - 1, (int)((passes[k].End + AroundSeconds) * options.RowsPerSecond));
            drawn.First.AddTo(first, times, from, to, 0);
            if (second is not null)
            {
                drawn.Second.AddTo(second, times, from, to, SecondLagSeconds);
            }
        }

        AddNoise(first, times, options, random);
        if (second is not null)
        {
            AddNoise(second, times, options, random);
        }

        return new() { Times = times, First = first, Second = second, Passes = passes, Onset = onset };
    }

    /// <summary>What a pass does to both detectors.</summary>
    /// <param name="pass">When it is, and how large its halo.</param>
    /// <param name="options">How all of it looks.</param>
    /// <param name="random">Draws what scatters.</param>
    /// <param name="flashes">Whether the specimen flashes.</param>
    /// <param name="coupling">Share of the halo that the deciding detector sees.</param>
    public static (SceneSignal First, SceneSignal Second) DrawSignals(ScenePass pass, SceneOptions options, SceneRandom random, bool flashes, double coupling)
    {
        var middle = pass.Middle;
        var onset = middle + random.Between(-0.35, 0.35);
        var haloWidth = random.Between(options.HaloFromSeconds, options.HaloToSeconds);
        var haloAt = middle + (0.04 * random.Normal());
        var halo = options.HaloSigma * pass.Halo * random.Scatter(0.1);
        var draughty = random.Unit() < options.DraughtShare;
        var flash = flashes ? options.FlashSigma * random.Scatter(0.05) : 0;
        SceneSignal One(double warmth, double seen) => new(
            new(middle + (0.04 * random.Normal()), 0.6 * random.Scatter(0.1), warmth * random.Scatter(0.1)),
            new(haloAt, haloWidth, halo * seen),
            onset,
            flash,
            options.FlashHoldSeconds,
            draughty ? [.. Enumerable.Range(0, options.DraughtWaves).Select(_ => new SceneWave(random.Between(1, 4), options.DraughtSigma * Math.Sqrt(2.0 / options.DraughtWaves), random.Between(0, 2 * Math.PI)))] : []);
        return (One(options.PassSigma, coupling), One(10, 1));
    }

    private static ScenePass[] DrawPasses(SceneOptions options, SceneRandom random)
    {
        var passes = new ScenePass[options.BarePasses + (options.FlashSigma > 0 ? 1 : 0)];
        var growth = random.Between(0.15, 0.6);
        var last = random.Between(0.3, 1);
        for (var k = 0; k < passes.Length; k++)
        {
            var start = LeadSeconds + (k * options.IntervalSeconds) + random.Between(-0.5, 0.5);
            var before = passes.Length - 1 - k;
            var halo = options.HaloAlways ? random.Unit() : last * Math.Max(0, 1 - (before * growth));
            passes[k] = new(start, start + PassSeconds, halo);
        }

        return passes;
    }

    private static void AddNoise(double[] target, double[] times, SceneOptions options, SceneRandom random)
    {
        var spacing = 1 / options.RowsPerSecond;
        var keep = Math.Exp(-spacing / options.MemorySeconds);
        var fresh = Math.Sqrt(1 - (keep * keep));
        var (white, coloured) = (Math.Sqrt(options.WhiteShare), Math.Sqrt(1 - options.WhiteShare));
        var memory = random.Normal();
        var drift = 0.0;
        var rate = options.DriftSigma * random.Normal();
        var phase = random.Between(0, 2 * Math.PI);
        for (var i = 0; i < target.Length; i++)
        {
            memory = (keep * memory) + (fresh * random.Normal());
            rate += (-rate * spacing / DriftSeconds) + (options.DriftSigma * Math.Sqrt(2 * spacing / DriftSeconds) * random.Normal());
            drift += (rate - (drift / SceneOptions.DriftPullSeconds)) * spacing;
            var hum = options.HumSigma * Math.Sin((2 * Math.PI * options.HumHertz * times[i]) + phase);
            var spike = random.Unit() < options.SpikesPerSecond * spacing ? random.Between(10, 40) : 0;
            target[i] += (white * random.Normal()) + (coloured * memory) + drift + hum + spike;
        }
    }
}
