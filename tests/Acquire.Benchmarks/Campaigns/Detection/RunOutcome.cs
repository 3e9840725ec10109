using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Simulator;

namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>Which application was taken for the first that flashed.</summary>
internal enum RunFlash
{
    /// <summary>The right one.</summary>
    Right,

    /// <summary>One before it: a false flash.</summary>
    Early,

    /// <summary>None, or one after it: a missed flash.</summary>
    Missed,

    /// <summary>The readings of the flash never came: nothing to judge.</summary>
    NotRecorded,
}

/// <summary>What became of one whole run.</summary>
/// <param name="Options">What it was made from.</param>
/// <param name="Flash">Which application was found.</param>
/// <param name="BarePasses">Applications before the true flash.</param>
/// <param name="OnsetError">Onset found less the true one, s; NaN where another application was found.</param>
/// <param name="Significance">Evidence at the true application, or at the one that was falsely taken for it, standard deviations.</param>
/// <param name="FireError">The same for the fire point; NaN where the run has none, infinite where it was not found.</param>
/// <param name="Verdict">What the run was called.</param>
/// <param name="Told">Onset found, s; NaN for none.</param>
/// <param name="Truth">True onset, s; NaN for none.</param>
internal sealed record RunOutcome(SimulatorOptions Options, RunFlash Flash, int BarePasses, double OnsetError, double Significance, double FireError, Verdict Verdict, double Told, double Truth)
{
    // A flash may show a little before the flame's signal, and, if late, 2 s after it.
    private const double BeforeSeconds = 0.3, AfterSeconds = 2.5;

    // Of the flash, which lasts 0.15 s, and 0.05 s about it so many readings must be there.
    private const double EarlierSeconds = 0.05, LaterSeconds = 0.2, LeastRecorded = 0.7;

    /// <summary>Plays a run through the supervisor.</summary>
    public static RunOutcome Play(SimulatorOptions options)
    {
        var run = new SimulatedRun(options);
        var counter = new FlashRecord(run.Truth.Flash?.TimeSeconds ?? double.NaN, EarlierSeconds, LaterSeconds);
        var result = RunReplay.Run(RunDraw.Plan(options), counter.Count(run));
        var (truth, found) = (run.Truth.Flash, result.Flash?.TimeSeconds ?? double.NaN);
        var recorded = truth is null || counter.Seen >= LeastRecorded * (EarlierSeconds + LaterSeconds) * options.RowsPerSecond;
        var kind = truth is null ? (double.IsNaN(found) ? RunFlash.Right : RunFlash.Early) : Kind(run.Truth.Applications[truth.ApplicationNumber - 1], found, recorded);
        var fire = run.Truth.Fire is not { } fired ? double.NaN : result.Fire is { } point ? point.TimeSeconds - fired.TimeSeconds : double.PositiveInfinity;
        var bare = run.Truth.Applications.TakeWhile(made => !made.Flashed).Count();
        var onset = truth?.TimeSeconds ?? double.NaN;
        var judged = kind == RunFlash.Early ? found : onset;
        var evidence = result.Applications.LastOrDefault(made => made.TimeSeconds < judged + BeforeSeconds)?.Significance ?? double.NaN;
        return new(options, kind, bare, kind == RunFlash.Right ? found - onset : double.NaN, evidence, fire, result.Verdict, found, onset);
    }

    private static RunFlash Kind(SimulatedApplication pass, double found, bool recorded) =>
        found < pass.TimeSeconds - BeforeSeconds ? RunFlash.Early
        : found <= pass.TimeSeconds + pass.DurationSeconds + AfterSeconds ? RunFlash.Right
        : recorded ? RunFlash.Missed
        : RunFlash.NotRecorded;
}
