using Acquire.Service.Archive.Influx;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Service.Sources;
using Acquire.Service.Surroundings;

namespace Acquire.Service.Hosting.Reloading;

/// <summary>Brings the testers and shared sources that run to what the file says, one by one. Those of which it says the same as before are not touched.</summary>
/// <remarks>
/// A tester whose run is open is changed once the run has ended; a driven one with the next start only: nothing that heats is changed under way.
/// One caller at a time.
/// </remarks>
public sealed partial class Reloader
{
    private readonly Dictionary<string, TesterConfig> _testers;
    private readonly Dictionary<string, AmbientStation> _stations;
    private readonly AcquireConfig _first;
    private readonly LaneSet _lanes;
    private readonly LaneHost _laneHost;
    private readonly LaneMaker _maker;
    private readonly AmbientStations _ambient;
    private readonly AmbientHost _ambientHost;
    private readonly SourceHost _sources;
    private readonly OutboxHost _outbox;
    private readonly ConfigurationState _state;
    private readonly TimeProvider _time;
    private readonly ILogger _logger;
    private AcquireConfig _wanted;

    /// <param name="first">What the service was started with.</param>
    /// <param name="services">Finds the parts of the service.</param>
    public Reloader(AcquireConfig first, IServiceProvider services)
    {
        ArgumentNullException.ThrowIfNull(first);
        (_first, _wanted) = (first, first);
        _lanes = services.GetRequiredService<LaneSet>();
        _laneHost = services.GetRequiredService<LaneHost>();
        _maker = services.GetRequiredService<LaneMaker>();
        _ambient = services.GetRequiredService<AmbientStations>();
        _ambientHost = services.GetRequiredService<AmbientHost>();
        _sources = services.GetRequiredService<SourceHost>();
        _outbox = services.GetRequiredService<OutboxHost>();
        _state = services.GetRequiredService<ConfigurationState>();
        _time = services.GetRequiredService<TimeProvider>();
        _logger = services.GetRequiredService<ILogger<Reloader>>();
        _testers = first.Testers.ToDictionary(tester => tester.Id, StringComparer.Ordinal);
        _stations = _ambient.All.ToDictionary(station => station.Config.Id, StringComparer.Ordinal);
    }

    /// <summary>The version of the file that the service goes by.</summary>
    public AcquireConfig Wanted => _wanted;

    /// <summary>Goes by another version of the file from now on.</summary>
    public Task TakeAsync(AcquireConfig wanted, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(wanted);
        _wanted = wanted;
        _state.Become(state => state with { TakenAt = _time.GetUtcNow(), Taken = state.Taken + 1, Mistakes = [] });
        Log.Taken(_logger);
        return ReconcileAsync(cancellationToken);
    }

    /// <summary>Does what can be done now of what the file says; what cannot is stated and tried at the next call.</summary>
    public async Task ReconcileAsync(CancellationToken cancellationToken)
    {
        var waiting = new List<string>();
        await _outbox.TakeAsync(_wanted.Influx).ConfigureAwait(false);
        await EndRoomAsync().ConfigureAwait(false);
        foreach (var gone in _testers.Values.Where(tester => Wants(tester.Id) is not { } wanted || !wanted.IsSame(tester)).ToArray())
        {
            if (await EndAsync(gone, cancellationToken).ConfigureAwait(false) is { } why)
            {
                waiting.Add(why);
            }
        }

        foreach (var same in _testers.Values.Where(tester => Wants(tester.Id)?.IsSame(tester) == true))
        {
            _lanes.Find(same.Id)?.ReportWaiting(null);
            _lanes.Find(same.Id)?.MoveTo(Wants(same.Id)!.AltitudeMetres);
        }

        waiting.AddRange(await BeginRoomAsync(cancellationToken).ConfigureAwait(false));
        foreach (var tester in _wanted.Testers.Where(tester => !_testers.ContainsKey(tester.Id)))
        {
            if (await BeginAsync(tester, cancellationToken).ConfigureAwait(false) is { } why)
            {
                waiting.Add(why);
            }
        }

        Arrange();
        waiting.AddRange(GlobalKeys.Different(_first, _wanted).Select(key => $"{key}: what the file says now is in force after the next start of the service."));
        _state.Become(state => state with { Waiting = waiting });
    }

    private TesterConfig? Wants(string id) => _wanted.Testers.FirstOrDefault(tester => tester.Id == id);

    /// <returns>Why the tester goes on as it is; null where it has ended.</returns>
    private async Task<string?> EndAsync(TesterConfig tester, CancellationToken cancellationToken)
    {
        var lane = _lanes.Find(tester.Id)!;
        var wanted = Wants(tester.Id);
        var what = wanted is null ? "removed" : "changed";
        string? why = null;
        if (tester.Drive is not null || wanted?.Drive is not null)
        {
            why = $"Tester {tester.Id} is driven: it is {what} with the next start of the service. Nothing that heats is changed under way.";
        }
        else if (_laneHost.Runs(lane) && await lane.RetireAsync(cancellationToken).ConfigureAwait(false) is { Outcome: not CommandOutcome.Done } refused)
        {
            why = $"Tester {tester.Id} is {what} once its run has ended: {refused.Text}.";
        }

        lane.ReportWaiting(why);
        if (why is not null)
        {
            return why;
        }

        await _sources.RemoveAsync(tester.Id).ConfigureAwait(false);
        await _laneHost.EndAsync(lane).ConfigureAwait(false);
        _testers.Remove(tester.Id);
        if (wanted is null)
        {
            Log.Removed(_logger, tester.Id);
            _state.Become(state => state with { Removed = state.Removed + 1 });
        }

        return null;
    }

    /// <returns>Why the tester cannot come yet; null where it has begun.</returns>
    private async Task<string?> BeginAsync(TesterConfig tester, CancellationToken cancellationToken)
    {
        if (tester.Drive is not null)
        {
            return $"Tester {tester.Id} is driven: it is added with the next start of the service.";
        }

        if (Holder(tester.Source) is { } holder)
        {
            return $"Tester {tester.Id} is read once {holder} has given its port free.";
        }

        var old = _lanes.Find(tester.Id);
        var lane = _maker.Make(tester);
        _testers.Add(tester.Id, tester);
        _lanes.Replace([.. _lanes.All.Where(other => other != old), lane]);
        _laneHost.Begin(lane);
        await _sources.AddAsync([new(tester.Id, tester.Source, lane.Inbox, Tap: lane.Tap)], cancellationToken).ConfigureAwait(false);
        if (old is null)
        {
            Log.Added(_logger, tester.Id);
        }
        else
        {
            Log.Changed(_logger, tester.Id);
        }

        _state.Become(state => old is null ? state with { Added = state.Added + 1 } : state with { Changed = state.Changed + 1 });
        return null;
    }

    // A shared source belongs to no run: while it is changed its values are not given, as if it were silent.
    private async Task EndRoomAsync()
    {
        foreach (var (id, station) in _stations.Where(pair => _wanted.Ambient.FirstOrDefault(source => source.Id == pair.Key) is not { } wanted || !wanted.IsSame(pair.Value.Config)).ToArray())
        {
            await _sources.RemoveAsync(id).ConfigureAwait(false);
            await _ambientHost.EndAsync(station).ConfigureAwait(false);
            _stations.Remove(id);
        }
    }

    /// <returns>What cannot come yet, and why.</returns>
    private async Task<IReadOnlyList<string>> BeginRoomAsync(CancellationToken cancellationToken)
    {
        var waiting = new List<string>();
        foreach (var source in _wanted.Ambient.Where(source => !_stations.ContainsKey(source.Id)))
        {
            if (Holder(source.Source) is { } holder)
            {
                waiting.Add($"The shared source {source.Id} is read once {holder} has given its port free.");
                continue;
            }

            var station = new AmbientStation(source, _time);
            _stations.Add(source.Id, station);
            _ambientHost.Begin(station);
            await _sources.AddAsync([new(source.Id, source.Source, station.Inbox)], cancellationToken).ConfigureAwait(false);
        }

        _ambient.Replace([.. _wanted.Ambient.Select(source => _stations.GetValueOrDefault(source.Id)).OfType<AmbientStation>()]);
        return waiting;
    }

    // Who reads the port that a source needs; null where nobody does.
    private string? Holder(SourceConfig wanted) =>
        _testers.Values.FirstOrDefault(tester => WireClaims.Clash(tester.Source, wanted))?.Id
        ?? _stations.Values.FirstOrDefault(station => WireClaims.Clash(station.Config.Source, wanted))?.Config.Id;

    // In the order of the file; those that wait to go stay behind them.
    private void Arrange()
    {
        var order = _wanted.Testers.Select(tester => tester.Id).ToList();
        Lane[] arranged = [.. _lanes.All.Where(lane => _testers.ContainsKey(lane.TesterId) || Wants(lane.TesterId) is not null)
            .OrderBy(lane => order.IndexOf(lane.TesterId) is >= 0 and var place ? place : int.MaxValue)];
        if (!arranged.SequenceEqual(_lanes.All))
        {
            _lanes.Replace(arranged);
        }
    }

    private static partial class Log
    {
        [LoggerMessage(1100, LogLevel.Information, "The configuration has changed and is taken")]
        public static partial void Taken(ILogger logger);

        [LoggerMessage(1101, LogLevel.Information, "Tester {TesterId} is added")]
        public static partial void Added(ILogger logger, string testerId);

        [LoggerMessage(1102, LogLevel.Information, "Tester {TesterId} is changed")]
        public static partial void Changed(ILogger logger, string testerId);

        [LoggerMessage(1103, LogLevel.Information, "Tester {TesterId} is removed")]
        public static partial void Removed(ILogger logger, string testerId);
    }
}
