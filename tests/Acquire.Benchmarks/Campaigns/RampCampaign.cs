namespace Acquire.Benchmarks.Campaigns;

/// <summary>Runs scenes by the thousand.</summary>
internal static class RampCampaign
{
    private const double QuietSeconds = 60;

    private static readonly ParallelOptions Cores = new() { MaxDegreeOfParallelism = Environment.ProcessorCount };

    /// <summary>Share of runs of ten minutes, after a minute to learn, in which it called, %.</summary>
    public static double FalseShare(RampScene scene, Func<RampRival> rival, int firstSeed, int runs, double seconds = 600)
    {
        var called = 0;
        Parallel.For(0, runs, Cores, run =>
        {
            var one = rival();
            var any = false;
            scene.Run(firstSeed + run, QuietSeconds + seconds, (t, celsius) => !(any = one.Take(t, celsius) && t > QuietSeconds));
            if (any)
            {
                Interlocked.Increment(ref called);
            }
        });
        return 100.0 * called / runs;
    }

    /// <summary>Times from the turn to the call, s, growing; infinite where it did not call within a minute.</summary>
    public static double[] Delays(RampScene scene, Func<RampRival> rival, int firstSeed, int runs)
    {
        var delays = new double[runs];
        Parallel.For(0, runs, Cores, run =>
        {
            var one = rival();
            var at = double.PositiveInfinity;
            var turn = scene.Run(firstSeed + run, scene.TurnSeconds + 60, (t, celsius) =>
            {
                // What is called before the turn is a false alarm, and counted as such elsewhere.
                var called = one.Take(t, celsius) && t > scene.TurnSeconds;
                at = called ? t : at;
                return !called;
            });
            delays[run] = at - turn;
        });
        Array.Sort(delays);
        return delays;
    }
}
