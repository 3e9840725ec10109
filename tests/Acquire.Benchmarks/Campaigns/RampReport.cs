namespace Acquire.Benchmarks.Campaigns;

internal static class RampReport
{
    public static void Write(string[] rest)
    {
        var n = int.Parse(rest[0]); var steps = 1500;
        Func<RampRival> now = () => new WatchRival(6, 1), turns = () => new WatchRival(6, 1, true), ols = () => new WindowRival(6, 12, false), proj = () => new WindowRival(6, 12, true);
        var legal = new RampScene();
        foreach (var (name, r) in new[] { ("now", now), ("turns", turns), ("ols12", ols), ("proj", proj) })
        {
            Console.Write($"{name}: FA {RampCampaign.FalseShare(legal, r, 1, n):0.00} %");
            foreach (var (f, t) in new[] { (5.5, 7.0), (5.5, 6.5), (5.8, 7.0) })
            {
                var d = RampCampaign.Delays(legal with { From = f, To = t, TurnSeconds = 60 }, r, 100000, steps);
                Console.Write($" | {f}->{t} mean {d.Where(double.IsFinite).Average():0.00} med {d[steps / 2]:0.00} p95 {d[(int)(steps * .95)]:0.00} p99 {d[(int)(steps * .99)]:0.00} inf {d.Count(double.IsInfinity)}");
            }

            var abrupt = RampCampaign.FalseShare(legal with { From = 5.2, To = 5.8, TurnSeconds = 90 }, r, 1, n / 2, 90);
            var slow = RampCampaign.FalseShare(legal with { From = 5.2, To = 5.8, TurnSeconds = 90, EasySeconds = 20 }, r, 1, n / 2, 90);
            var slow60 = RampCampaign.FalseShare(legal with { From = 5.2, To = 5.8, TurnSeconds = 90, EasySeconds = 60 }, r, 1, n / 2, 120);
            Console.WriteLine($" | 5.2->5.8 abrupt {abrupt:0.0} 20s {slow:0.0} 60s {slow60:0.0}");
        }

        var scenes = new (string, RampScene)[]
        {
            ("hump .1", legal with { HumpCelsius = .1 }), ("hump .2", legal with { HumpCelsius = .2 }), ("hump .3", legal with { HumpCelsius = .3 }), ("hump .5", legal with { HumpCelsius = .5 }), ("hump .5 2s", legal with { HumpCelsius = .5, HumpSeconds = 2 }), ("hump .3 2s d1", legal with { HumpCelsius = .3, HumpSeconds = 2, HumpDecaySeconds = 1 }), ("hump .15 2s d1", legal with { HumpCelsius = .15, HumpSeconds = 2, HumpDecaySeconds = 1 }), ("hump 1 2s d1", legal with { HumpCelsius = 1, HumpSeconds = 2, HumpDecaySeconds = 1 }),
            ("wild .1%", legal with { WildShare = .001 }), ("wild 1%", legal with { WildShare = .01 }),
            ("q1 n0", legal with { Step = 1, Noise = 0 }), ("q.5 n0", legal with { Step = .5, Noise = 0 }), ("q.1 n0", legal with { Step = .1, Noise = 0 }), ("q1 n.05", legal with { Step = 1 }), ("q.5 n.05", legal with { Step = .5 }), ("q1 n.2", legal with { Step = 1, Noise = .2 }), ("q.01 n.005", legal with { Step = .01, Noise = .005 }), ("q.1 n.02", legal with { Noise = .02 }),
            ("q.5 n0 1Hz", legal with { Step = .5, Noise = 0, PerSecond = 1 }), ("q1 n0 1Hz", legal with { Step = 1, Noise = 0, PerSecond = 1 }), ("1 Hz", legal with { PerSecond = 1 }), ("3 Hz uneven", legal with { PerSecond = 3, Uneven = true }), ("50 Hz", legal with { PerSecond = 50 }), ("10 Hz uneven lost", legal with { Uneven = true, LossShare = .03 }),
            ("AR.05 1s", legal with { SlowNoise = .05 }), ("AR.05 .3s", legal with { SlowNoise = .05, MemorySeconds = .3 }), ("AR.05 5s", legal with { SlowNoise = .05, MemorySeconds = 5 }), ("AR.03 2s n.03", legal with { SlowNoise = .03, MemorySeconds = 2, Noise = .03 }),
        };
        foreach (var (name, s) in scenes)
        {
            var d = RampCampaign.Delays(s with { From = 5.5, To = 7, TurnSeconds = 60 }, now, 100000, 400);
            var dl = RampCampaign.FalseShare(s with { From = 5.2, To = 5.2 }, () => new WatchRival(5, -1), 1, 200);
            Console.WriteLine($"{name}: FA now {RampCampaign.FalseShare(s, now, 1, 400):0.0} turns {RampCampaign.FalseShare(s, turns, 1, 400):0.0} ols {RampCampaign.FalseShare(s, ols, 1, 200):0.0} low {dl:0.0} | mean {d.Where(double.IsFinite).DefaultIfEmpty().Average():0.0} p95 {d[380]:0.0} inf {d.Count(double.IsInfinity)}");
        }
    }
}
