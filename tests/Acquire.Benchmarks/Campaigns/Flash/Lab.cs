using Acquire.Core.Detection;
using System.Diagnostics;
using System.Globalization;

namespace Acquire.Benchmarks.Campaigns.Flash;

internal static class Lab
{
    private static readonly SceneOptions Two = new() { Two = true, PassSigma = 6, CouplingFrom = 0.03, CouplingTo = 0.12 };

    public static void Run(string[] args)
    {
        CultureInfo.CurrentCulture = CultureInfo.InvariantCulture;
        var runs = args.Length > 1 ? int.Parse(args[1]) : 500;
        var firstSeed = args.Length > 2 ? ulong.Parse(args[2]) : 1;
        (string, SceneOptions)[] scenes =
        [
            ("8s 50Hz", new()),
            ("8s 200Hz", new() { RowsPerSecond = 200 }),
            ("6s 50Hz", new() { FlashSigma = 6 }),
            ("4s 200Hz", new() { FlashSigma = 4, RowsPerSecond = 200 }),
            ("halo always 50", new() { FlashSigma = 0, HaloAlways = true }),
            ("halo .3 50", new() { FlashSigma = 0, HaloAlways = true, HaloFromSeconds = 0.3, HaloToSeconds = 0.5 }),
            ("two 8s 50Hz", Two),
            ("two 6s 50Hz", Two with { FlashSigma = 6 }),
            ("two 4s 200Hz", Two with { FlashSigma = 4, RowsPerSecond = 200 }),
            ("two 8s 200Hz", Two with { RowsPerSecond = 200 }),
            ("draught2 50", new() { DraughtSigma = 2, FlashSigma = 0, HaloAlways = true }), ("two fasthalo 50", Two with { FlashSigma = 0, HaloAlways = true, HaloFromSeconds = 0.15, HaloToSeconds = 0.3 }),
            ("8s 25Hz", new() { RowsPerSecond = 25 }),
            ("8s 10Hz", new() { RowsPerSecond = 10 }),
        ];
        foreach (var (name, options) in scenes)
        {
            if (args.Length > 3 && !name.Contains(args[3])) continue;
            var watch = Stopwatch.StartNew();
            int judged = 0, wrong = 0, missed = 0, runsWrong = 0;
            var errors = new List<double>();
            var nulls = new List<double>(); var confirms = new List<double>(); var flashes = new List<double>();
            var gate = new Lock();
            Parallel.For(0, runs, new ParallelOptions { MaxDegreeOfParallelism = 2 }, i =>
            {
                var k = 0;
                var scene = PassScene.Draw(firstSeed + (ulong)i, options);
                var outcome = ScenePlay.Play(scene, (pass, verdict) =>
                {
                    var last = ++k == scene.Passes.Length && !double.IsNaN(scene.Onset);
                    lock (gate)
                    {
                        (last ? flashes : nulls).Add(verdict.Significance);
                        if (verdict.Confirmation is { } z2) { if (last) confirms.Add(z2); else if (args.Length > 4) Console.WriteLine($"   null z1 {verdict.Significance:F2} z2 {z2:F2}"); }
                    }

                    if (args.Length > 4 && (args[4] == "low" ? last && verdict.Significance < 6.2 : verdict.Flash != last))
                        Console.WriteLine($"   seed {firstSeed + (ulong)i} pass {k} {(last ? "MISS" : "FALSE")} sig {verdict.Significance:F2} conf {verdict.Confirmation:F2} on {verdict.OnsetSeconds - pass.Start:F2} true {scene.Onset - pass.Start:F2} halo {scene.Passes[k-1].Halo:F2} {verdict.Record}");
                });
                lock (gate)
                {
                    judged += outcome.Judged;
                    wrong += outcome.False;
                    runsWrong += outcome.False > 0 ? 1 : 0;
                    missed += outcome.Missed ? 1 : 0;
                    if (!double.IsNaN(outcome.OnsetError)) errors.Add(Math.Abs(outcome.OnsetError));
                }
            });
            errors.Sort();
            double Q(double p) => errors.Count == 0 ? double.NaN : errors[(int)(p * (errors.Count - 1))] * 1000;
            nulls.Sort(); flashes.Sort(); confirms.Sort();
            string Qs(List<double> l, params double[] p) => l.Count == 0 ? "-" : string.Join(" ", p.Select(q => l[(int)(q * (l.Count - 1))].ToString("F2")));
            Console.WriteLine($"     null z .9 .99 .999 .9999 max: {Qs(nulls, .9, .99, .999, .9999, 1)}; flash z 0 .001 .01 .05 .5: {Qs(flashes, 0, .001, .01, .05, .5)}; confirm 0 .001 .01 .05 .5: {Qs(confirms, 0, .001, .01, .05, .5)}");
            Console.WriteLine($"{name,-16} runs {runs} passes {judged} false {wrong} ({100.0 * wrong / judged:F4} %) in {runsWrong} runs, missed {missed} ({100.0 * missed / runs:F3} %), onset ms p50 {Q(.5):F1} p95 {Q(.95):F1} p99 {Q(.99):F1}; {watch.Elapsed.TotalSeconds:F1} s");
        }
    }
}
internal static class Cost
{
    public static void Run()
    {
        foreach (var hz in new[] { 50.0, 200, 500 })
        {
            var scene = PassScene.Draw(1, new() { RowsPerSecond = hz, BarePasses = 40, FlashSigma = 0, IntervalSeconds = 20 });
            ScenePlay.Play(scene); ScenePlay.Play(scene);
            var best = double.MaxValue; long bytes = 0;
            for (var k = 0; k < 6; k++)
            {
                var before = GC.GetAllocatedBytesForCurrentThread();
                var w = Process.GetCurrentProcess().UserProcessorTime; for (var q = 0; q < 5; q++) ScenePlay.Play(scene); best = Math.Min(best, (Process.GetCurrentProcess().UserProcessorTime - w).TotalMilliseconds / 5);
                bytes = GC.GetAllocatedBytesForCurrentThread() - before;
            }
            var n = scene.Times.Length;
            // without passes
            var still = new DetectorWatch(); var ev = new List<WatchEvent>();
            var w2 = Process.GetCurrentProcess().UserProcessorTime; for (var q = 0; q < 5; q++, still = new()) for (var i = 0; i < n; i++) still.Add(scene.Times[i], scene.First[i], new(5, false, true, false), ev);
            Console.WriteLine($"{hz} Hz: {best * 1e6 / n:F0} ns a reading, {best * 1000 / 40:F0} us a pass-interval, {(double)bytes / n / 5:F1} B a reading; without flame {(Process.GetCurrentProcess().UserProcessorTime - w2).TotalMilliseconds * 1e6 / n / 5:F0} ns");
        }
    }
}
