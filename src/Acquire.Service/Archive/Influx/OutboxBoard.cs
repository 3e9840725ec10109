using System.Globalization;
using Acquire.Service.Archive.Influx.Sending;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes.Watching;
using Acquire.Service.Live;

namespace Acquire.Service.Archive.Influx;

/// <summary>What is known of handing on, for whoever asks. Written by the outbox, read by anyone.</summary>
internal sealed class OutboxBoard(InfluxConfig influx, TimeProvider time)
{
    private static readonly TimeSpan WarningsHold = TimeSpan.FromSeconds(30);

    private readonly Lock _lock = new();
    private readonly Dictionary<string, DateTimeOffset> _since = [];
    private readonly DateTimeOffset _begun = time.GetUtcNow();
    private WriteAnswer? _trouble;
    private IReadOnlyList<string> _warnings = [];
    private DateTimeOffset? _warnedAt, _nextTry, _currentAt, _takenAt, _oldest;
    private string? _asideWords;
    private long _runs, _rows, _lines, _requests, _aside;

    /// <summary>Records that are set aside.</summary>
    public long SetAside => Interlocked.Read(ref _aside);

    /// <summary>Takes what an earlier outbox has left.</summary>
    public void Begin(DateTimeOffset? currentAt, long setAside)
    {
        lock (_lock)
        {
            (_currentAt, _aside) = (_currentAt ?? currentAt, setAside);
        }
    }

    /// <summary>Takes what waits.</summary>
    /// <param name="runs">Runs with something to send.</param>
    /// <param name="rows">Rows to send.</param>
    /// <param name="oldest">When the oldest of them began; null where none waits.</param>
    public void Lag(long runs, long rows, DateTimeOffset? oldest)
    {
        lock (_lock)
        {
            (_runs, _rows, _oldest) = (runs, rows, oldest);
            _ = Alarms(time.GetUtcNow(), LagSeconds(time.GetUtcNow()));
        }
    }

    /// <summary>Counts requests and the lines that they brought.</summary>
    public void Requested(int requests, int lines)
    {
        lock (_lock)
        {
            (_requests, _lines) = (_requests + requests, _lines + lines);
            _takenAt = lines > 0 ? time.GetUtcNow() : _takenAt;
        }
    }

    /// <summary>Takes how many records are set aside, and the newest words.</summary>
    public void PutAside(long records, string? words)
    {
        lock (_lock)
        {
            (_aside, _asideWords) = (records, words ?? _asideWords);
        }
    }

    /// <summary>Takes that nothing stands in the way. True where something did until now.</summary>
    /// <param name="currentAt">When the server had everything; null where it still lacks something.</param>
    public bool Well(DateTimeOffset? currentAt)
    {
        lock (_lock)
        {
            var recovered = _trouble is not null;
            (_trouble, _nextTry, _currentAt) = (null, null, currentAt ?? _currentAt);
            return recovered;
        }
    }

    /// <summary>Takes what stands in the way. True where it is something else than before.</summary>
    public bool Trouble(WriteAnswer trouble, TimeSpan wait)
    {
        lock (_lock)
        {
            var isNew = _trouble?.Words != trouble.Words;
            (_trouble, _nextTry) = (trouble, time.GetUtcNow() + wait);
            return isNew;
        }
    }

    /// <summary>At a glance.</summary>
    public InfluxOverview Overview()
    {
        lock (_lock)
        {
            var now = time.GetUtcNow();
            var lagSeconds = LagSeconds(now);
            if (!(now - _warnedAt < WarningsHold))
            {
                (_warnings, _warnedAt) = (InfluxFiles.Warnings(influx), now);
            }

            var state = _trouble is null ? _rows > 0 || _runs > 0 ? InfluxState.Sending : InfluxState.Current : _trouble.Outcome == WriteOutcome.Refused ? InfluxState.Refused : InfluxState.Waiting;
            return new(
                influx.ToString(), state, _trouble?.Words, _nextTry, _runs, _rows, lagSeconds, influx.LagAlarmSeconds, _takenAt, _lines, _requests, _aside, _warnings, Alarms(now, lagSeconds));
        }
    }

    // Where the server never had everything: since the oldest run that it lacks.
    private double LagSeconds(DateTimeOffset now) => Math.Max(0, (now - (_currentAt ?? (_oldest < _begun ? _oldest.Value : _begun))).TotalSeconds);

    private List<StandingAlarm> Alarms(DateTimeOffset now, double lagSeconds)
    {
        var alarms = new List<StandingAlarm>();
        var refused = _trouble is { Outcome: WriteOutcome.Refused };
        Raise(refused, ServiceAlarmCodes.InfluxRefused, () => $"InfluxDB takes nothing: {_trouble!.Words}. Everything is in the archive and is sent once this is put right; it is tried again every minute.");
        Raise(lagSeconds > influx.LagAlarmSeconds, ServiceAlarmCodes.InfluxBehind, () => string.Create(CultureInfo.InvariantCulture,
            $"InfluxDB is {Words(lagSeconds)} behind (allowed: {Words(influx.LagAlarmSeconds)}); {_rows} readings of {_runs} runs wait{Why()}. Nothing is lost: everything is in the archive."));
        Raise(_aside > 0, ServiceAlarmCodes.InfluxSetAside, () => string.Create(CultureInfo.InvariantCulture,
            $"{_aside} records were not taken by InfluxDB and are set aside{(_asideWords is null ? "" : $": {_asideWords}")}. They are in the archive; acquire influx rejected lists them, and with --retry sends them again."));
        return alarms;

        // The server's words stand in the other alarm, where that stands.
        string Why() => _trouble is null ? ": they are being sent" : refused ? "" : $": {_trouble.Words}";

        void Raise(bool stands, string code, Func<string> text)
        {
            if (stands)
            {
                _since.TryAdd(code, now);
                alarms.Add(new(code, text(), _since[code]));
            }
            else
            {
                _since.Remove(code);
            }
        }
    }

    private static string Words(double seconds) => seconds < 120
        ? string.Create(CultureInfo.InvariantCulture, $"{seconds:0} s")
        : seconds < 7200 ? string.Create(CultureInfo.InvariantCulture, $"{seconds / 60:0} min") : string.Create(CultureInfo.InvariantCulture, $"{seconds / 3600:0.0} h");
}
