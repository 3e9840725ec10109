using Acquire.Service.Live;

namespace Acquire.Service.Archive.Influx;

/// <summary>How handing on to InfluxDB goes.</summary>
public enum InfluxState
{
    /// <summary>The server has everything.</summary>
    Current,

    /// <summary>Something waits and is being sent.</summary>
    Sending,

    /// <summary>The server, or the way to it, is in trouble; it is tried again by itself.</summary>
    Waiting,

    /// <summary>The server does not let us: a person has to help.</summary>
    Refused,
}

/// <summary>Handing on to InfluxDB at a glance.</summary>
/// <param name="Target">The endpoint in words, without its token.</param>
/// <param name="State">How it goes.</param>
/// <param name="Text">What stands in the way, and what to do; null where nothing does.</param>
/// <param name="NextTryAt">When it is tried again, UTC; null while nothing stands in the way.</param>
/// <param name="LagRuns">Runs of which something waits.</param>
/// <param name="LagRows">Readings that wait.</param>
/// <param name="LagSeconds">Age of the state that the server has, s.</param>
/// <param name="LagAlarmSeconds">Lag from which on it is alarmed, s.</param>
/// <param name="TakenAt">When the server last took something, UTC; null before the first time since the start.</param>
/// <param name="Lines">Lines taken since the start.</param>
/// <param name="Requests">Requests made since the start.</param>
/// <param name="SetAside">Records that were not taken and are not tried again by themselves.</param>
/// <param name="Warnings">What a person should know of the configuration, a sentence each.</param>
/// <param name="Alarms">Alarms that stand.</param>
public sealed record InfluxOverview(
    string Target,
    InfluxState State,
    string? Text,
    DateTimeOffset? NextTryAt,
    long LagRuns,
    long LagRows,
    double LagSeconds,
    int LagAlarmSeconds,
    DateTimeOffset? TakenAt,
    long Lines,
    long Requests,
    long SetAside,
    IReadOnlyList<string> Warnings,
    IReadOnlyList<StandingAlarm> Alarms);

/// <summary>Where the archive is handed on to.</summary>
/// <param name="Endpoint">How it goes; null where nothing is handed on.</param>
public sealed record InfluxStatus(InfluxOverview? Endpoint);
