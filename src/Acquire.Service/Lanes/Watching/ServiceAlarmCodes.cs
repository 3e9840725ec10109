using Acquire.Core.Runs;

namespace Acquire.Service.Lanes.Watching;

/// <summary>Stable codes of alarms that the service raises about itself; those about a run or a wire are in the core.</summary>
public static class ServiceAlarmCodes
{
    /// <summary>The archive cannot be written; facts wait in memory and are not announced.</summary>
    public const string ArchiveFailed = "archive-failed";

    /// <summary>InfluxDB has not had what is archived for too long.</summary>
    public const string InfluxBehind = "influx-behind";

    /// <summary>InfluxDB takes nothing, and a person has to help.</summary>
    public const string InfluxRefused = "influx-refused";

    /// <summary>Records were not taken by InfluxDB and are set aside.</summary>
    public const string InfluxSetAside = "influx-set-aside";

    /// <summary>The program failed while judging a run; its rows are still archived.</summary>
    public const string SupervisionFailed = "supervision-failed";

    /// <summary>The program failed in a tester's lane, and the lane was started again or given up.</summary>
    public const string LaneFailed = "lane-failed";

    /// <summary>A source that testers share says nothing, and nothing of it is used.</summary>
    public const string AmbientStale = "ambient-stale";

    /// <summary>The configuration says something else of the tester now, and that is not taken yet.</summary>
    public const string ChangeWaits = "change-waits";

    /// <summary>The clock of this computer was set, forward or back.</summary>
    public const string ClockJumped = "clock-jumped";

    /// <summary>The local time of this computer changed against UTC.</summary>
    public const string LocalTimeChanged = "local-time-changed";

    /// <summary>Whether a fact was put into a record beside what the rules state, so that no rule states it again.</summary>
    public static bool IsNote(RunOutput fact) => fact is AlarmRaised { Code: ClockJumped or LocalTimeChanged } or AlarmCleared { Code: ClockJumped or LocalTimeChanged };
}
