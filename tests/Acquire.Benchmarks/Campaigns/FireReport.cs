using System.Diagnostics;
using System.Globalization;
using Acquire.Core.Detection;
using Acquire.Core.Tests.Traces;

namespace Acquire.Benchmarks.Campaigns;

/// <summary>How quickly an ignition without a flame is told, how often one is told that was none, and which burns count as fire.</summary>
internal static class FireReport
{
    // What the constants were chosen on begins at 1; what is reported begins here.
    private const int ReportedFrom = 600_000;

    private static readonly double[] Rates = [10, 25, 50, 200, 500];

    /// <summary>Prints the tables.</summary>
    /// <param name="output">Receives them.</param>
    /// <param name="words">The first seed, and what share of the hours and trials to make, both optional.</param>
    public static void Print(TextWriter output, IEnumerable<string> words)
    {
        var given = words.Select(word => double.Parse(word, CultureInfo.InvariantCulture)).ToArray();
        var (seed, share) = (given.Length > 0 ? (int)given[0] : ReportedFrom, given.Length > 1 ? given[1] : 1);
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"first seed {seed}, share {share}"));
        Idle(output, seed, share);
        Delays(output, seed, (int)(200 * share));
        Burns(output, seed, (int)(40 * share));
        Cost(output, seed);
    }

    // One reading of the detector at rest, learning included, the noise made before.
    private static void Cost(TextWriter output, int seed)
    {
        const double Rate = 500;
        var noise = new RestNoise(seed, Rate);
        var values = Enumerable.Range(0, 300_000).Select(i => noise.At(i / Rate)).ToArray();
        var (watch, events, ask) = (new DetectorWatch(), new List<WatchEvent>(), new WatchAsk(WatchBench.FireSeconds, false, true, false));
        var (began, bytes) = (0L, 0L);
        for (var i = 0; i < values.Length; i++)
        {
            if (i == values.Length / 3)
            {
                (began, bytes) = (Stopwatch.GetTimestamp(), GC.GetAllocatedBytesForCurrentThread());
            }

            watch.Add(i / Rate, values[i], ask, events);
        }

        var readings = values.Length - (values.Length / 3);
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"\nA reading at rest takes {Stopwatch.GetElapsedTime(began).TotalNanoseconds / readings:0} ns and {(GC.GetAllocatedBytesForCurrentThread() - bytes) / (double)readings:0.00} bytes."));
        Alone(output, values, Rate);
    }

    private static void Idle(TextWriter output, int seed, double share)
    {
        output.WriteLine("\n| readings a second | hours at rest | false alarms | per 1,000 h |\n| --- | --- | --- | --- |");
        foreach (var rate in Rates)
        {
            var hours = share * (rate <= 50 ? 300 : rate <= 200 ? 100 : 40);
            var runs = (int)Math.Ceiling(2 * hours);
            var alarms = new int[runs];
            Parallel.For(0, runs, new ParallelOptions { MaxDegreeOfParallelism = 2 }, i => alarms[i] = Rest(seed + i, rate));
            var all = alarms.Sum();
            output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"| {rate} | {runs / 2.0:0} | {all} | {1000 * all / (runs / 2.0):0.#} |"));
        }
    }

    // Half an hour with a pass every two minutes.
    private static int Rest(int seed, double rate)
    {
        var bench = new WatchBench(rate, RestNoise.Poor(seed, rate), seed);
        for (var until = 30; until < 1800; until += 120)
        {
            bench.Until(until);
            bench.Pass();
        }

        return bench.Events.Count(one => one.Seen is WatchEvent.Stray);
    }

    // The part of it that looks for an ignition.
    private static void Alone(TextWriter output, double[] values, double rate)
    {
        var (stray, limits, events) = (new StrayWatch(), new StrayLimits(1, 5, double.PositiveInfinity, 15), new List<WatchEvent>());
        var began = Stopwatch.GetTimestamp();
        for (var i = 0; i < values.Length; i++)
        {
            if (stray.Add(i / rate, values[i]))
            {
                stray.Look(limits, events);
            }
        }

        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"To look for an ignition in it takes {Stopwatch.GetElapsedTime(began).TotalNanoseconds / values.Length:0} ns of that."));
    }

    private static void Delays(TextWriter output, int seed, int trials)
    {
        output.WriteLine("\n| height | readings a second | told | p50 | p95 | longest | p95 from the evidence on |\n| --- | --- | --- | --- | --- | --- | --- |");
        foreach (var height in new double[] { 8, 20, 60 })
        {
            foreach (var rate in Rates)
            {
                var found = new (double FromOnset, double FromEvidence)?[trials];
                Parallel.For(0, trials, new ParallelOptions { MaxDegreeOfParallelism = 2 }, i => found[i] = Delay(seed + i, rate, height));
                var onset = found.Where(one => one is not null).Select(one => one!.Value.FromOnset).Order().ToArray();
                var evidence = found.Where(one => one is not null).Select(one => one!.Value.FromEvidence).Order().ToArray();
                output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"| {height} | {rate} | {onset.Length} of {trials} | {1000 * At(onset, 0.5):0} | {1000 * At(onset, 0.95):0} | {1000 * At(onset, 1):0} | {1000 * At(evidence, 0.95):0} ms |"));
            }
        }
    }

    // Readings and passes as at rest, then an ignition that goes on, at any place between two readings.
    private static (double FromOnset, double FromEvidence)? Delay(int seed, double rate, double height)
    {
        var draw = new Noise(seed + 7919);
        var bench = new WatchBench(rate, RestNoise.Poor(seed, rate), seed);
        for (var until = 12; until < 60; until += 20)
        {
            bench.Until(until);
            bench.Pass();
        }

        var onset = 66 + draw.Between(0, 1);
        var (rise, hertz, phase) = (draw.Between(0.02, 0.06), draw.Between(1, 6), draw.Between(0, 6.28));
        double evidence = double.NaN;
        double Glow(double t)
        {
            var glow = t < onset ? 0 : height * Math.Min(1, (t - onset) / rise) * (1 + (0.2 * Math.Sin((6.28 * hertz * (t - onset)) + phase)));
            evidence = double.IsNaN(evidence) && glow > 5 ? t : evidence;
            return glow;
        }

        bench.Until(onset + 5, Glow);
        var told = bench.Events.FirstOrDefault(one => one.Seen is WatchEvent.Stray && one.At >= onset);
        return told.Seen is null ? null : (told.At - onset, told.At - evidence);
    }

    private static void Burns(TextWriter output, int seed, int trials)
    {
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"\n| what happens | fire | right of {trials} at {string.Join(", ", Rates)} readings a second | onset off by p50, p95, most |\n| --- | --- | --- | --- |"));
        foreach (var scene in GlowScene.All)
        {
            var right = new List<int>();
            var off = new List<double>();
            foreach (var rate in Rates)
            {
                var found = new (bool Right, double? Off)[trials];
                Parallel.For(0, trials, new ParallelOptions { MaxDegreeOfParallelism = 2 }, i => found[i] = Burn(scene, seed + i, rate));
                right.Add(found.Count(one => one.Right));
                off.AddRange(found.Where(one => one.Off is not null).Select(one => one.Off!.Value));
            }

            var sorted = off.Order().ToArray();
            var onset = sorted.Length == 0 ? "" : string.Create(CultureInfo.InvariantCulture, $"{At(sorted, 0.5):0.00}, {At(sorted, 0.95):0.00}, {At(sorted, 1):0.00} s");
            output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"| {scene.Name} | {(scene.IsFire ? "yes" : "no")} | {string.Join(", ", right)} | {onset} |"));
        }
    }

    private static (bool Right, double? Off) Burn(GlowScene scene, int seed, double rate)
    {
        var (fire, onset) = Scene(scene, seed, rate, new RestNoise(seed, rate) { Hum = 1, Wave = 2, WildPerSecond = 0.05 });
        return (fire is not null == scene.IsFire, scene.IsFire && fire is { } found ? Math.Abs(found.Onset - onset) : null);
    }

    private static (WatchEvent.Sustained? Fire, double Onset) Scene(GlowScene scene, int seed, double rate, RestNoise noise)
    {
        var draw = new Noise(seed + 104729);
        var bench = new WatchBench(rate, noise, seed);
        for (var until = 12; until < 90; until += 20)
        {
            bench.Until(until);
            bench.Pass();
        }

        bench.Until(92 + draw.Between(0, 0.1));
        var onset = bench.Now + draw.Between(0.3, 0.7);
        var glow = scene.Glow(draw);
        bench.Pass(t => t < onset ? 0 : glow(t - onset), afterwards: 14);
        return (bench.Events.Select(one => one.Seen).OfType<WatchEvent.Sustained>().FirstOrDefault(), onset);
    }

    private static double At(double[] sorted, double share) => sorted.Length == 0 ? double.NaN : sorted[(int)Math.Min(sorted.Length - 1, share * sorted.Length)];
}
