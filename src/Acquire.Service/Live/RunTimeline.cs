using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;

namespace Acquire.Service.Live;

/// <summary>The whole curve and all events of one run in memory, for readers that start anywhere. Points and events only ever grow.</summary>
/// <remarks>One writer (the lane, or whoever rebuilds an archived run); any number of readers, none of whom can hold up the writer.</remarks>
public sealed class RunTimeline
{
    private readonly RunSummary _opening;
    private readonly CurveBinner _binner = new();
    private readonly CurveLog _points = new();
    private readonly AppendLog<RunOutput> _events = new();
    private readonly List<CurvePoint> _completed = [];
    private readonly ChangeSignal _changed = new();
    private volatile Head _head = new(null, null, null, null, false, false);

    /// <param name="opening">The run's line in the list as it was when the run was opened.</param>
    public RunTimeline(RunSummary opening)
    {
        ArgumentNullException.ThrowIfNull(opening);
        _opening = opening;
    }

    /// <summary>Run id.</summary>
    public string RunId => _opening.Id;

    /// <summary>Tester that makes the run.</summary>
    public string TesterId => _opening.TesterId;

    /// <summary>Points that may be read.</summary>
    public int PointCount => _points.Count;

    /// <summary>Events that may be read.</summary>
    public int EventCount => _events.Count;

    /// <summary>Whether nothing more will be added. Read it before the counts: they are final then.</summary>
    public bool Ended => _head.Ended;

    /// <summary>Newest status; null before the first and after the run has ended.</summary>
    public RunStatus? Status => _head.Status;

    /// <summary>Number of changes so far, for <see cref="NewerThan"/>.</summary>
    public long Version => _changed.Version;

    /// <summary>Completes once something has changed since the version seen.</summary>
    public Task NewerThan(long version) => _changed.NewerThan(version);

    /// <summary>The run's line in the list now.</summary>
    /// <param name="archivedRows">Tells how many rows of a run are committed; asked only while the run goes on.</param>
    public RunSummary Summary(Func<string, long> archivedRows)
    {
        ArgumentNullException.ThrowIfNull(archivedRows);
        var head = _head;
        return _opening with
        {
            ArchivedRows = head.FinalRows ?? archivedRows(RunId),
            ClosedAt = head.ClosedAt,
            Result = head.Result,
            Interrupted = head.Interrupted,
        };
    }

    /// <summary>The curve from a point on, at most <paramref name="most"/> points. An index beyond the end starts at the end.</summary>
    public CurveStretch Points(int from, int most)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(from);
        var start = Math.Min(from, _points.Count);
        var points = _points.Copy(start, most);
        return new(
            start,
            Array.ConvertAll(points, point => point.TimeSeconds),
            Array.ConvertAll(points, point => point.TemperatureCelsius),
            Array.ConvertAll(points, point => point.DetectorLow),
            Array.ConvertAll(points, point => point.DetectorHigh),
            Array.ConvertAll(points, point => point.Flame))
        {
            SecondDetectorLow = Second(points, point => point.SecondDetectorLow),
            SecondDetectorHigh = Second(points, point => point.SecondDetectorHigh),
        };
    }

    // Most testers have no second detector: a stretch without any value of it carries no column of nulls.
    private static double?[]? Second(CurvePoint[] points, Converter<CurvePoint, double?> value) =>
        Array.Exists(points, point => point.SecondDetectorLow is not null) ? Array.ConvertAll(points, value) : null;

    /// <summary>Events from an index on, at most <paramref name="most"/>; empty from the end on.</summary>
    public IReadOnlyList<RunOutput> Events(int from, int most)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(from);
        return _events.Copy(from, most);
    }

    /// <summary>Adds archived rows, on the run's axis.</summary>
    public void AddRows(ReadOnlySpan<ReadingRow> rows)
    {
        foreach (ref readonly var row in rows)
        {
            _binner.Add(row, _completed);
        }

        Publish();
    }

    /// <summary>Adds archived events.</summary>
    public void AddEvents(IReadOnlyList<RunOutput> events)
    {
        ArgumentNullException.ThrowIfNull(events);
        foreach (var output in events)
        {
            _events.Add(output);
        }

        _changed.Raise();
    }

    /// <summary>Replaces the status.</summary>
    public void SetStatus(RunStatus status)
    {
        if (status != _head.Status)
        {
            _head = _head with { Status = status };
            _changed.Raise();
        }
    }

    /// <summary>The run is closed and archived: the last point is completed, nothing more comes.</summary>
    public void Close(DateTimeOffset closedAt, RunResult result, long archivedRows) => End(new(null, closedAt, result, archivedRows, false, true));

    /// <summary>The service or its lane ended before the run was closed: what is archived is all there is.</summary>
    public void EndInterrupted(long archivedRows) => End(new(null, null, null, archivedRows, true, true));

    private void End(Head head)
    {
        _binner.Finish(_completed);
        Publish();
        _head = head;
        _changed.Raise();
    }

    private void Publish()
    {
        foreach (var point in _completed)
        {
            _points.Add(point);
        }

        _completed.Clear();
        _changed.Raise();
    }

    private sealed record Head(RunStatus? Status, DateTimeOffset? ClosedAt, RunResult? Result, long? FinalRows, bool Interrupted, bool Ended);
}
