using Acquire.Service.Archive.Influx.Lines;

namespace Acquire.Service.Archive.Influx.Comparing;

/// <summary>Points that a server has, by run.</summary>
internal sealed class PointCounts
{
    private readonly Dictionary<(string Run, LineKind Kind), long> _counts = [];

    /// <summary>Ids of all runs of which it has something.</summary>
    public IEnumerable<string> Runs => _counts.Keys.Select(key => key.Run).Distinct();

    /// <summary>Adds points.</summary>
    public void Add(string run, LineKind kind, long count) => _counts[(run, kind)] = Of(run, kind) + count;

    /// <summary>Points of a kind of a run.</summary>
    public long Of(string run, LineKind kind) => _counts.GetValueOrDefault((run, kind));
}
