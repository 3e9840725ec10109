using Acquire.Core.Readings;

namespace Acquire.Core.Tests.Traces;

/// <summary>What the sensors beside the cup of a made-up run tell, by time in s; null where there is no such sensor.</summary>
internal sealed record ToldBench
{
    // A tester stops its stirrer before the flame comes, and starts it after: common practice, no source.
    private const double StopsBefore = 0.8, StartsAfter = 0.6;

    /// <summary>Speed of the stirrer, r/min.</summary>
    public Func<double, double>? Stirrer { get; init; }

    /// <summary>Whether the stirrer turns.</summary>
    public Func<double, bool>? Stirring { get; init; }

    /// <summary>Whether the test flame burns.</summary>
    public Func<double, bool>? Lit { get; init; }

    /// <summary>Speed of the air, m/s.</summary>
    public Func<double, double>? Air { get; init; }

    /// <summary>Temperature of the room, °C.</summary>
    public Func<double, double>? Room { get; init; }

    /// <summary>A stirrer that stands at each application but those that are named, counted from 0.</summary>
    public static Func<double, double> Stops(BenchRun run, double speed, params int[] leftOn) => t =>
        run.Passes.Where((_, i) => !leftOn.Contains(i)).Any(pass => t >= pass.Start - StopsBefore && t <= pass.Start + pass.Seconds + StartsAfter) ? 0 : speed;

    /// <summary>A test flame that is out from some time before an application to some time after it, counted from 0.</summary>
    public static Func<double, bool> OutAt(BenchRun run, int pass, double before, double after) => t =>
        t < run.Passes[pass].Start - before || t > run.Passes[pass].Start + run.Passes[pass].Seconds + after;

    /// <summary>The rows with what is told.</summary>
    public IEnumerable<ReadingRow> On(IEnumerable<ReadingRow> rows) => rows.Select(row => row with
    {
        Present = row.Present
            | (Stirrer is null ? 0 : RowChannels.Stirrer) | (Stirring is null ? 0 : RowChannels.Stirring) | (Lit is null ? 0 : RowChannels.Lit)
            | (Air is null ? 0 : RowChannels.Air) | (Room is null ? 0 : RowChannels.Ambient),
        StirrerRevolutionsPerMinute = Stirrer?.Invoke(row.AtSeconds) ?? 0,
        Stirring = Stirring?.Invoke(row.AtSeconds) ?? false,
        Lit = Lit?.Invoke(row.AtSeconds) ?? false,
        AirMetresPerSecond = Air?.Invoke(row.AtSeconds) ?? 0,
        AmbientCelsius = Room?.Invoke(row.AtSeconds) ?? 0,
    });

    /// <summary>Judges a run with what is told.</summary>
    public Judged Judge(BenchRun run) => run.Judge(On(run.Rows));
}
