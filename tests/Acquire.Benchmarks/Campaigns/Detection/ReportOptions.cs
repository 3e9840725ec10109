using System.Globalization;

namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>What the command line asks of the detection report.</summary>
/// <param name="Runs">Whole runs of the seeds that count: those held out where they are played, and a tenth as many of the tuning seeds then; of the tuning seeds otherwise.</param>
/// <param name="Only">Rows whose name holds this text; null for all.</param>
/// <param name="HeldOut">Whether the seeds that nobody has looked at are played too.</param>
internal sealed record ReportOptions(int Runs, string? Only, bool HeldOut)
{
    public const string Usage = "usage: detection-report [--runs N] [--only NAME] [--held-out]; N: whole runs, 40 to 1000000, 12000 unless given, of which five sixths have two detectors";

    private const int UsualRuns = 12_000;

    /// <summary>Reads the arguments after the command's own word; null where they say something else.</summary>
    public static ReportOptions? Read(string[] args)
    {
        var options = new ReportOptions(UsualRuns, null, false);
        for (var i = 0; i < args.Length; i++)
        {
            var value = i + 1 < args.Length ? args[i + 1] : null;
            switch (args[i])
            {
                case "--held-out":
                    options = options with { HeldOut = true };
                    break;
                case "--runs" when int.TryParse(value, NumberStyles.None, CultureInfo.InvariantCulture, out var runs) && runs is >= 40 and <= 1_000_000:
                    options = options with { Runs = runs };
                    i++;
                    break;
                case "--only" when value is not null:
                    options = options with { Only = value };
                    i++;
                    break;
                default:
                    return null;
            }
        }

        return options;
    }

    /// <summary>Whether a row is asked for.</summary>
    public bool Wants(string name) => Only is null || name.Contains(Only, StringComparison.OrdinalIgnoreCase);

    /// <summary>Whole runs of a set of seeds.</summary>
    public int RunsOf(SeedSet set) => Math.Max(1, HeldOut && set == SeedSet.Tuning ? Runs / 10 : Runs);

    /// <summary>Scenes of a row: a quarter of the whole runs where something is asked of it, a quarter of that where not; as many as whole runs where no more than two of 10,000 may be wrong, which fewer cannot show.</summary>
    public int ScenesOf(SeedSet set, SceneRow row) => Math.Max(1, RunsOf(set) / (row.Goal is not { } goal ? 16 : goal.MissedRate <= SceneRows.FewMissed ? 1 : 4));

    /// <summary>The sets of seeds that are played.</summary>
    public IReadOnlyList<SeedSet> Sets => HeldOut ? [SeedSet.Tuning, SeedSet.HeldOut] : [SeedSet.Tuning];

    /// <summary>The command as it is to be typed again.</summary>
    public string Command => string.Create(CultureInfo.InvariantCulture, $"dotnet run -c Release --project tests/Acquire.Benchmarks -- detection-report --runs {Runs}{(HeldOut ? " --held-out" : "")}");
}

/// <summary>A set of seeds.</summary>
/// <param name="Name">What it is called.</param>
/// <param name="First">Its first seed; the others follow.</param>
internal sealed record SeedSet(string Name, ulong First)
{
    /// <summary>The seeds that constants were chosen with.</summary>
    public static SeedSet Tuning { get; } = new("tuning", 1);

    /// <summary>Seeds that nobody looked at before the constants were final.</summary>
    public static SeedSet HeldOut { get; } = new("held out", 11_000_000_000);

    // Sets that were held out once. What was missed with them was looked at, or the detection changed since: tuning seeds from then on.
    private static readonly SeedSet[] Once = [.. Enumerable.Range(3, 8).Select(billions => new SeedSet("held out once", 1_000_000_000UL * (ulong)billions))];

    /// <summary>The set that a seed belongs to.</summary>
    public static SeedSet Of(ulong seed) => seed >= HeldOut.First ? HeldOut : Once.LastOrDefault(set => seed >= set.First) ?? Tuning;
}
