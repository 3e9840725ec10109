using System.Diagnostics;
using System.Globalization;

namespace Acquire.Benchmarks.Campaigns.Flash;

internal static class Lab
{
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
            ("8s 25Hz", new() { RowsPerSecond = 25 }),
            ("8s 10Hz", new() { RowsPerSecond = 10 }),
        ];
        foreach (var (name, options) in scenes)
        {
            if (args.Length > 3 && !name.Contains(args[3])) continue;
            var watch = Stopwatch.StartNew();
            int judged = 0, wrong = 0, missed = 0, runsWrong = 0;
            var errors = new List<double>();
            var gate = new Lock();
            Parallel.For(0, runs, new ParallelOptions { MaxDegreeOfParallelism = 2 }, i =>
            {
                var k = 0;
                var scene = PassScene.Draw(firstSeed + (ulong)i, options);
                var outcome = ScenePlay.Play(scene, (pass, verdict) =>
                {
                    var last = ++k == scene.Passes.Length && !double.IsNaN(scene.Onset);
                    if (args.Length > 4 && verdict.Flash != last)
                        Console.WriteLine($"   seed {firstSeed + (ulong)i} pass {k} {(last ? "MISS" : "FALSE")} sig {verdict.Evidence?.Significance:F2} h {verdict.Evidence?.Height:F2} +- {verdict.Evidence?.HeightUncertainty:F2} shape {verdict.Evidence?.Shape} on {verdict.Evidence?.OnsetSeconds - pass.Start:F2} true {scene.Onset - pass.Start:F2} halo {scene.Passes[k-1].Halo:F2} {verdict.Why}");
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
            Console.WriteLine($"{name,-16} runs {runs} passes {judged} false {wrong} ({100.0 * wrong / judged:F4} %) in {runsWrong} runs, missed {missed} ({100.0 * missed / runs:F3} %), onset ms p50 {Q(.5):F1} p95 {Q(.95):F1} p99 {Q(.99):F1}; {watch.Elapsed.TotalSeconds:F1} s");
        }
    }
}
