using Acquire.Core.Results;

namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>Counts over whole runs.</summary>
internal sealed class RunTally
{
    // A fire point is right within this, s.
    private const double FireSeconds = 0.5;

    /// <summary>Counts outcomes.</summary>
    public RunTally(IEnumerable<RunOutcome> outcomes)
    {
        foreach (var outcome in outcomes)
        {
            Add(outcome);
        }

        Onsets50.Sort();
        Onsets200.Sort();
        Fires.Sort();
    }

    public int Runs { get; private set; }

    public int NotRecorded { get; private set; }

    /// <summary>Those of them that are not called valid.</summary>
    public int NotRecordedSaid { get; private set; }

    public int BarePasses { get; private set; }

    public int False { get; private set; }

    public int Missed { get; private set; }

    /// <summary>Runs with the right application.</summary>
    public int Right { get; private set; }

    /// <summary>Distance of the onsets from the truth at 50 rows a second, ms, growing.</summary>
    public List<double> Onsets50 { get; } = [];

    /// <summary>The same at 200 rows a second.</summary>
    public List<double> Onsets200 { get; } = [];

    /// <summary>Distance of the fire onsets from the truth, s, growing; infinite where none was found.</summary>
    public List<double> Fires { get; } = [];

    /// <summary>Fire points that were not found or are too far off.</summary>
    public int WrongFires => Fires.Count(off => off > FireSeconds);

    /// <summary>Whether a fire point was not found or is too far off, in a run whose flash came on record.</summary>
    public static bool IsWrongFire(RunOutcome outcome) => outcome.Flash != RunFlash.NotRecorded && Math.Abs(outcome.FireError) > FireSeconds;

    /// <summary>Runs with something to find, and the readings of it there.</summary>
    public int Judged => Runs - NotRecorded;

    private void Add(RunOutcome outcome)
    {
        Runs++;
        BarePasses += outcome.BarePasses;
        switch (outcome.Flash)
        {
            case RunFlash.NotRecorded:
                NotRecorded++;
                NotRecordedSaid += outcome.Verdict == Verdict.Valid ? 0 : 1;
                return;
            case RunFlash.Early:
                False++;
                break;
            case RunFlash.Missed:
                Missed++;
                break;
            default:
                Right++;
                (outcome.Options.RowsPerSecond > 100 ? Onsets200 : Onsets50).Add(1000 * Math.Abs(outcome.OnsetError));
                break;
        }

        if (!double.IsNaN(outcome.FireError))
        {
            Fires.Add(Math.Abs(outcome.FireError));
        }
    }
}
