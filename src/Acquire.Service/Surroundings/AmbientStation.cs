using Acquire.Core.Readings;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Service.Live;

namespace Acquire.Service.Surroundings;

/// <summary>One source that testers share: takes what comes out of its inbox and holds the newest value of each channel with the time of its arrival.</summary>
public sealed class AmbientStation
{
    private const int Capacity = 1024;

    private readonly TimeProvider _time;
    private volatile Newest _newest = new(null, null, null);

    /// <param name="config">The source.</param>
    /// <param name="time">Clock.</param>
    public AmbientStation(AmbientConfig config, TimeProvider time)
    {
        ArgumentNullException.ThrowIfNull(config);
        (Config, _time, Inbox) = (config, time, new(config.Id, Capacity, time));
    }

    /// <summary>The source.</summary>
    public AmbientConfig Config { get; }

    /// <summary>Where its readings arrive.</summary>
    public LaneInbox Inbox { get; }

    /// <summary>Takes readings until cancelled.</summary>
    public async Task RunAsync(CancellationToken cancellationToken)
    {
        try
        {
            while (await Inbox.Rows.WaitToReadAsync(cancellationToken).ConfigureAwait(false))
            {
                while (Inbox.Rows.TryRead(out var row))
                {
                    Take(row);
                }
            }
        }
        catch (OperationCanceledException) when (cancellationToken.IsCancellationRequested)
        {
        }
    }

    /// <summary>The newest value of a channel; null where none has come.</summary>
    /// <param name="channel">Pressure, ambient or air.</param>
    public AmbientValue? Find(RowChannels channel)
    {
        var newest = _newest;
        var found = channel switch
        {
            RowChannels.Pressure => newest.Pressure,
            RowChannels.Ambient => newest.Ambient,
            RowChannels.Air => newest.Air,
            _ => null,
        };
        if (found is not { } arrived)
        {
            return null;
        }

        var age = _time.GetElapsedTime(arrived.At).TotalSeconds;
        return new(arrived.Value, age, age > Config.StaleAfterSeconds);
    }

    /// <summary>The source at a glance.</summary>
    public AmbientOverview Overview()
    {
        var (connection, text) = Inbox.Connection;
        return new(
            Config.Id, Config.Name, Config.Source.Description, connection, text, Inbox.Counters, Inbox.LastRefusal, Config.StaleAfterSeconds,
            Shown(RowChannels.Pressure), Shown(RowChannels.Ambient), Shown(RowChannels.Air));
    }

    private AmbientReading? Shown(RowChannels channel) => Find(channel) is { } value ? new(value.Value, value.AgeSeconds, value.Stale) : null;

    // One reader of the inbox writes; others see the old values or the new ones.
    private void Take(in ReadingRow row)
    {
        var (now, newest) = (_time.GetTimestamp(), _newest);
        _newest = new(
            row.Has(RowChannels.Pressure) ? new(row.PressureKilopascals, now) : newest.Pressure,
            row.Has(RowChannels.Ambient) ? new(row.AmbientCelsius, now) : newest.Ambient,
            row.Has(RowChannels.Air) ? new(row.AirMetresPerSecond, now) : newest.Air);
    }

    private sealed record Newest(Arrived? Pressure, Arrived? Ambient, Arrived? Air);

    private readonly record struct Arrived(double Value, long At);
}
