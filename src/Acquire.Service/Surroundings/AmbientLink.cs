using System.Globalization;
using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Service.Live;

namespace Acquire.Service.Surroundings;

/// <summary>What one tester is given of the sources that testers share. A value that is too old is given to nobody.</summary>
/// <param name="ids">Ids of the sources that the tester names.</param>
/// <param name="stations">All sources.</param>
internal sealed class AmbientLink(IReadOnlyList<string> ids, AmbientStations stations)
{
    /// <summary>The row with the room's newest values in it. Each row carries them, so that a source that falls silent is noticed as any other channel of the bench.</summary>
    /// <param name="row">As the tester sent it.</param>
    public ReadingRow Add(in ReadingRow row)
    {
        if (ids.Count == 0)
        {
            return row;
        }

        var given = row;
        foreach (var station in Named())
        {
            if (!given.Has(RowChannels.Ambient) && station.Find(RowChannels.Ambient) is { Stale: false } room)
            {
                given = given with { Present = given.Present | RowChannels.Ambient, AmbientCelsius = room.Value };
            }

            if (!given.Has(RowChannels.Air) && station.Find(RowChannels.Air) is { Stale: false } air)
            {
                given = given with { Present = given.Present | RowChannels.Air, AirMetresPerSecond = air.Value };
            }
        }

        return given;
    }

    /// <summary>The barometer's reading for a run that begins now, used or not; null where the tester names no barometer.</summary>
    /// <param name="altitudeMetres">Altitude of the laboratory, m, against which it is held; null where unknown.</param>
    public BarometerReading? Barometer(double? altitudeMetres)
    {
        if (Named().FirstOrDefault(station => station.Config.Source.Channels.Contains(Configuration.ReadingChannel.Pressure)) is not { } station)
        {
            return null;
        }

        var name = station.Config.Name;
        return station.Find(RowChannels.Pressure) is not { } pressure ? new(name, null, null, "it has said nothing yet")
            : pressure.Stale ? new(name, pressure.Value, pressure.AgeSeconds, string.Create(CultureInfo.InvariantCulture, $"its newest reading was {pressure.AgeSeconds:0} s old (allowed: {station.Config.StaleAfterSeconds:0.#} s)"))
            : StationPressureRules.Check("pressure", pressure.Value, altitudeMetres) is { } wrong ? new(name, pressure.Value, pressure.AgeSeconds, wrong.Message)
            : new(name, pressure.Value, pressure.AgeSeconds, null);
    }

    /// <summary>What is wrong with the sources, for a person; null where every channel they are to give is there and fresh.</summary>
    public string? Trouble()
    {
        foreach (var station in Named())
        {
            foreach (var channel in Watched.Where(known => station.Config.Source.Channels.Contains(known.Reading)))
            {
                var (state, text) = station.Inbox.Connection;
                var why = state == ConnectionState.Up ? "" : $": {text ?? "it is not connected"}";
                if (station.Find(channel.Row) is not { } value)
                {
                    // The first reading of a source that has just been opened is on its way.
                    if (station.Inbox.ArrivalSeconds > station.Config.StaleAfterSeconds)
                    {
                        return $"\"{station.Config.Name}\" has said nothing about the {channel.Name} yet{why}. Nothing of it is used.";
                    }
                }
                else if (value.Stale)
                {
                    return string.Create(CultureInfo.InvariantCulture, $"\"{station.Config.Name}\" has said nothing about the {channel.Name} for more than {station.Config.StaleAfterSeconds:0.#} s{why}. Its old value is not used; give the station pressure by hand where it is the barometer.");
                }
            }
        }

        return null;
    }

    /// <summary>The sources that the tester names, at a glance; null where it names none.</summary>
    public IReadOnlyList<AmbientOverview>? Overview() => ids.Count == 0 ? null : [.. Named().Select(station => station.Overview())];

    private static readonly (RowChannels Row, Configuration.ReadingChannel Reading, string Name)[] Watched =
    [
        (RowChannels.Pressure, Configuration.ReadingChannel.Pressure, "air pressure"),
        (RowChannels.Ambient, Configuration.ReadingChannel.Ambient, "temperature of the room"),
        (RowChannels.Air, Configuration.ReadingChannel.Air, "air beside the cup"),
    ];

    private IEnumerable<AmbientStation> Named()
    {
        foreach (var id in ids)
        {
            if (stations.Find(id) is { } station)
            {
                yield return station;
            }
        }
    }
}
