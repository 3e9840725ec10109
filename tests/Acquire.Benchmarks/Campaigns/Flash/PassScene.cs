namespace Acquire.Benchmarks.Campaigns.Flash;

/// <summary>One pass of the test flame in a scene, s.</summary>
internal readonly record struct ScenePass(double Start, double End, double Halo);

/// <summary>A sequence of passes as one or two detectors see them, with the truth.</summary>
internal sealed class PassScene
{
    private const double DriftSeconds = 10, LeadSeconds = 20, PassSeconds = 1, TailSeconds = 3;
    private const double Fwhm = 2.772588722239781; // 4 ln 2

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
        var end = passes[^1].End + TailSeconds;
        var n = (int)(end * options.RowsPerSecond) + 1;
        var times = new double[n];
        for (var i = 0; i < n; i++)
        {
            times[i] = i / options.RowsPerSecond;
        }

        var first = new double[n];
        var second = options.Two ? new double[n] : null;
        var onset = double.NaN;
        var coupling = random.Between(options.CouplingFrom, options.CouplingTo);
        for (var k = 0; k < passes.Length; k++)
        {
            var flashes = options.FlashSigma > 0 && k == passes.Length - 1;
            var drawn = Draw(passes[k], options, random, flashes, coupling);
            onset = flashes ? drawn.Onset : onset;
            Add(first, times, passes[k], drawn.First, 0, options.RowsPerSecond);
            if (second is not null)
            {
                Add(second, times, passes[k], drawn.Second, 0.05, options.RowsPerSecond);
            }
        }

        AddNoise(first, times, options, random);
        if (second is not null)
        {
            AddNoise(second, times, options, random);
        }

        return new() { Times = times, First = first, Second = second, Passes = passes, Onset = onset };
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

    private readonly record struct Bump(double Centre, double Width, double Height)
    {
        public double At(double t) => Height * Math.Exp(-Fwhm * (t - Centre) * (t - Centre) / (Width * Width));
    }

    private sealed record Signal(Bump Warmth, Bump Halo, double Onset, double Flash, double Hold, (double Hertz, double Height, double Phase)[] Draught)
    {
        public double At(double t)
        {
            var sum = Warmth.At(t) + Halo.At(t);
            var since = t - Onset;
            if (Flash > 0 && since > 0 && since < Hold + 0.07)
            {
                sum += Flash * (since < 0.02 ? since / 0.02 : since < 0.02 + Hold ? 1 : (Hold + 0.07 - since) / 0.05);
            }

            foreach (var (hertz, height, phase) in Draught)
            {
                sum += height * Math.Sin((2 * Math.PI * hertz * t) + phase);
            }

            return sum;
        }
    }

    private static (Signal First, Signal Second, double Onset) Draw(ScenePass pass, SceneOptions options, SceneRandom random, bool flashes, double coupling)
    {
        var middle = (pass.Start + pass.End) / 2;
        var onset = middle + random.Between(-0.35, 0.35);
        var haloWidth = random.Between(options.HaloFromSeconds, options.HaloToSeconds);
        var haloAt = middle + (0.04 * random.Normal());
        var halo = options.HaloSigma * pass.Halo * random.Scatter(0.1);
        var draughty = random.Unit() < options.DraughtShare;
        var flash = flashes ? options.FlashSigma * random.Scatter(0.05) : 0;
        Signal One(double warmth, double seen) => new(
            new(middle + (0.04 * random.Normal()), 0.6 * random.Scatter(0.1), warmth * random.Scatter(0.1)),
            new(haloAt, haloWidth, halo * seen),
            onset,
            flash,
            options.FlashHoldSeconds,
            draughty ? Enumerable.Range(0, 3).Select(_ => (random.Between(1, 4), options.DraughtSigma * Math.Sqrt(2.0 / 3), random.Between(0, 2 * Math.PI))).ToArray() : []);
        return (One(options.PassSigma, coupling), One(10, 1), onset);
    }

    private static void Add(double[] target, double[] times, ScenePass pass, Signal signal, double lag, double perSecond)
    {
        var from = Math.Max(0, (int)((pass.Start - 1.5) * perSecond));
        var to = Math.Min(target.Length - 1, (int)((pass.End + 1.5) * perSecond));
        if (lag == 0)
        {
            for (var i = from; i <= to; i++)
            {
                target[i] += signal.At(times[i]);
            }

            return;
        }

        // First-order lag, in steps short against it.
        const double step = 0.001;
        var state = signal.At(times[from]);
        var t = times[from];
        for (var i = from; i <= to; i++)
        {
            for (; t < times[i] - 1e-9; t += step)
            {
                state += (signal.At(t) - state) * step / lag;
            }

            target[i] += state;
        }
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
            drift += (rate - (drift / 60)) * spacing;
            var hum = options.HumSigma * Math.Sin((2 * Math.PI * options.HumHertz * times[i]) + phase);
            var spike = random.Unit() < options.SpikesPerSecond * spacing ? random.Between(10, 40) : 0;
            target[i] += (white * random.Normal()) + (coloured * memory) + drift + hum + spike;
        }
    }
}
