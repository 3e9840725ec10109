namespace Acquire.Core.Runs;

/// <summary>Something about the record itself, which no reading tells. With the readings it makes the record whole, as <see cref="ObservationMade"/> does.</summary>
/// <param name="AtSeconds">When, s on the run's axis.</param>
/// <param name="ReadingSeconds">Time of the newest reading then, s: the fact stands directly after it in the record. Null where none had come.</param>
public abstract record RecordFact(double AtSeconds, double? ReadingSeconds) : RunOutput(AtSeconds);

/// <summary>The first row came: what the run's time is counted from. By it a run can be taken up again on the same axis.</summary>
/// <param name="AtSeconds">0: the beginning of the axis.</param>
/// <param name="ReadingSeconds">Null: it stands before all readings.</param>
/// <param name="StartSeconds">Time of the row on the axis that it came with, s: the tester's own, or since its queue was opened.</param>
/// <param name="TestersTime">Whether rows carry the tester's own time; otherwise they are stamped as they arrive.</param>
/// <param name="At">When it arrived, UTC.</param>
public sealed record AxisBegun(double AtSeconds, double? ReadingSeconds, double StartSeconds, bool TestersTime, DateTimeOffset At) : RecordFact(AtSeconds, ReadingSeconds);

/// <summary>The service had stopped in mid-run and took the run up again. What happened meanwhile was not recorded; the rows that follow tell how long that was on the run's axis.</summary>
/// <param name="AtSeconds">Where the record breaks off, s.</param>
/// <param name="ReadingSeconds">Time of the newest reading before it, s; null where none had come.</param>
/// <param name="At">When it was taken up, UTC.</param>
/// <param name="SecondsAway">How long before that the newest readings were archived, s, by the clock of the computer; null where that clock went back.</param>
/// <param name="UncertaintySeconds">By how much that may be wrong, s; null where it is not known.</param>
/// <param name="SoftwareBefore">Version of the program that made the record up to here.</param>
/// <param name="SoftwareAfter">Version that goes on with it.</param>
public sealed record RunResumed(double AtSeconds, double? ReadingSeconds, DateTimeOffset At, double? SecondsAway, double? UncertaintySeconds, string SoftwareBefore, string SoftwareAfter)
    : RecordFact(AtSeconds, ReadingSeconds);

/// <summary>The run ended without a result: the service had stopped in mid-run and could not go on with it, or its judging failed.</summary>
/// <param name="AtSeconds">Where the record ends, s.</param>
/// <param name="Text">Why, and what to do.</param>
public sealed record RunInterrupted(double AtSeconds, string Text) : RunOutput(AtSeconds);
