namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>All whole runs of one set of seeds, in order.</summary>
internal sealed record RunResults(SeedSet Set, IReadOnlyList<(RunRow Row, RunOutcome Outcome)> Played)
{
    /// <summary>Plays runs on all cores; the outcome does not depend on how many there are.</summary>
    /// <param name="set">The seeds.</param>
    /// <param name="runs">How many.</param>
    /// <param name="name">What is told of the progress.</param>
    /// <param name="make">The i-th run.</param>
    public static RunResults Play(SeedSet set, int runs, string name, Func<SeedSet, int, (RunRow Row, Acquire.Simulator.SimulatorOptions Options)> make)
    {
        var progress = new Progress($"{name}, {set.Name} seeds", runs);
        var played = new (RunRow, RunOutcome)[runs];
        Parallel.For(0, runs, new ParallelOptions { MaxDegreeOfParallelism = Environment.ProcessorCount }, i =>
        {
            var (row, options) = make(set, i);
            played[i] = (row, RunOutcome.Play(options));
            progress.Step();
        });
        return new(set, played);
    }

    /// <summary>Counts over those that meet a condition.</summary>
    public RunTally Tally(Func<RunRow, RunOutcome, bool> which) => new(Played.Where(one => which(one.Row, one.Outcome)).Select(one => one.Outcome));

    /// <summary>Those with a fire point that was not found or is too far off, in order.</summary>
    public IEnumerable<(RunRow Row, RunOutcome Outcome)> WrongFires => Played.Where(one => RunTally.IsWrongFire(one.Outcome));

    /// <summary>Those with another application than the right one, in order.</summary>
    public IEnumerable<(RunRow Row, RunOutcome Outcome)> Faults => Played.Where(one => one.Outcome.Flash is RunFlash.Early or RunFlash.Missed);
}
