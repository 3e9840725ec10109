using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Service.Archive;
using Acquire.Service.Lanes.Resuming;
using Acquire.Service.Lanes.Watching;

namespace Acquire.Service.Lanes;

/// <summary>A run that is taken up again: its state is what its record gives, and nothing else.</summary>
internal sealed partial class OpenRun
{
    private const string NoRowYet = "no reading has come since the service was started again; wait for the first one";

    private AwaitedRow? _awaited;

    /// <summary>Whether it was taken up again and no row has come since.</summary>
    public bool AwaitsRow => _awaited is not null;

    /// <summary>Alarms of the run that stand.</summary>
    public IEnumerable<AlarmRaised> StandingAlarms => RunSupervisor.Alarms(_state);

    /// <summary>The state, for whoever goes on by it.</summary>
    internal RunState State => _state;

    /// <summary>Makes the state anew from the archived rows and facts. What they give beyond the archived facts, because rows were durable and their facts not yet, is to be archived now.</summary>
    /// <param name="header">What was booked in.</param>
    /// <param name="rows">All archived rows, in order.</param>
    /// <param name="facts">All archived facts, in order.</param>
    /// <param name="awaited">What the first row has to fit; null where the run has no rows.</param>
    /// <param name="why">Why it cannot go on; null where it can.</param>
    public static OpenRun? TakeUp(RunHeader header, IReadOnlyList<ReadingRow> rows, IReadOnlyList<RunOutput> facts, AwaitedRow? awaited, out string? why)
    {
        var run = new OpenRun(header, resumed: facts.Count(fact => fact is RunResumed) + 1) { _awaited = awaited };
        try
        {
            why = run.Rebuild(rows, facts);
        }
        catch (Exception exception)
        {
            // As with a rule that fails live: a bug costs this run, not the others.
            why = $"its record cannot be judged by this version of the program ({exception.Message})";
        }

        return why is null ? run : null;
    }

    /// <summary>Puts into the record that the run was taken up again.</summary>
    public void Resume(RunResumed fact) => Judge(null, fact: fact);

    /// <summary>The first row since it was taken up again: finds its place on the run's axis.</summary>
    /// <param name="row">The row, as it came.</param>
    /// <param name="arrivedAt">When it arrived, UTC.</param>
    /// <returns>Why the run cannot go on with it; null where it does.</returns>
    public string? GoOn(in ReadingRow row, DateTimeOffset arrivedAt)
    {
        if (_awaited!.Refuses(row, arrivedAt, out var start) is { } why)
        {
            return why;
        }

        (_awaited, _startSeconds) = (null, start);
        return null;
    }

    /// <summary>Where the run's axis begins on that of its rows, s; null before the first row.</summary>
    public double? StartSeconds => _startSeconds;

    private string? Rebuild(IReadOnlyList<ReadingRow> rows, IReadOnlyList<RunOutput> facts)
    {
        var read = new List<ReadingRow>(rows.Count);
        foreach (var row in rows)
        {
            read.Add(_thermometer.Take(row));
            if (!read[^1].Equals(row))
            {
                return $"this version of the program ({nameof(ReadingRow)} at {row.AtSeconds} s) reads its thermometer differently";
            }
        }

        var found = new List<RunOutput>();
        _state = RunReplay.Rebuild(Header.Plan, read, facts, found);
        _newestSeconds = rows.LastOrDefault(row => (row.Marks & ReadingMarks.Late) == 0).AtSeconds;
        if (_state.Phase != RunPhase.Closed && facts.Any(fact => fact is RunClosed))
        {
            // A person had stopped it, and only its end was not archived yet.
            RunSupervisor.Step(_state, Header.Plan, RunInput.Stop(_newestSeconds), found);
        }

        var judged = facts.Where(fact => !ServiceAlarmCodes.IsNote(fact)).ToArray();
        for (var index = 0; index < judged.Length; index++)
        {
            if (index >= found.Count || ArchiveJson.Write(found[index]) != ArchiveJson.Write(judged[index]))
            {
                return $"its record gives other facts than were archived, from '{ArchiveJson.KindOf(judged[index])}' at {judged[index].AtSeconds:0.0} s on: this version of the program judges differently";
            }
        }

        _facts.AddRange(found.Skip(judged.Length));
        _result = found.OfType<RunClosed>().FirstOrDefault()?.Result;
        Timeline.AddRows([.. rows]);
        Timeline.AddEvents(facts);
        return null;
    }
}
