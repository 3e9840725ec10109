using System.Globalization;
using Acquire.Core.Methods;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Service.Archive;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes.Watching;

namespace Acquire.Service.Lanes.Resuming;

/// <summary>Whether a run may go on at all, before its record is judged anew: nothing is guessed.</summary>
internal static class ResumeChecks
{
    // Rows are committed a fifth of a second after they came, the sign is left once a second; a disk may be slow, s.
    private const double SignSeconds = 5;

    /// <summary>What of the tester is not as it was when the run began; null where nothing is.</summary>
    public static string? Changed(RunHeader header, TesterConfig tester, MethodSet methods)
    {
        var plan = header.Plan;
        return tester.Mode != plan.Mode ? "its tester has another mode now"
            : tester.Source.Description != header.Source ? "the wire of its tester is configured differently now"
            : tester.Channels.HasFlag(RowChannels.Flame) != plan.HasFlameSignal ? "the channels of its tester are configured differently now"
            : ArchiveJson.Write(tester.Thermometer) != ArchiveJson.Write(plan.Thermometer) ? "the thermometer of its tester is configured differently now"
            : !methods.TryFind(plan.Method.Id, out var method) || ArchiveJson.Write(method) != ArchiveJson.Write(plan.Method) ? $"the method {plan.Method.Id} is not as it was when the run began"
            : null;
    }

    /// <summary>How long the run was without readings, by the clock of the computer.</summary>
    /// <param name="header">What was booked in.</param>
    /// <param name="facts">Its facts; one of them says what its time is counted from.</param>
    /// <param name="newestSeconds">Its newest row, s on its axis.</param>
    /// <param name="hasRows">Whether it has rows.</param>
    /// <param name="lastSign">When rows were last archived.</param>
    /// <param name="now">UTC.</param>
    /// <param name="within">How long it may have been.</param>
    /// <param name="away">How long it was, s; null where the clock went back and the tester's own time tells.</param>
    /// <param name="uncertain">By how much that may be wrong, s.</param>
    /// <returns>Why it was too long, or cannot be told; null where the run may go on.</returns>
    public static string? Away(RunHeader header, IReadOnlyList<RunOutput> facts, double newestSeconds, bool hasRows, DateTimeOffset? lastSign, DateTimeOffset now, TimeSpan within, out double? away, out double? uncertain)
    {
        (away, uncertain) = (null, null);
        var axis = facts.OfType<AxisBegun>().FirstOrDefault();
        if (hasRows && axis is null)
        {
            return "its record does not say what its time is counted from";
        }

        // Rows that are stamped as they arrive tell it themselves, but for what the clock was slewed by.
        var arrival = axis is { TestersTime: false } stamped ? stamped.At.AddSeconds(newestSeconds) : (DateTimeOffset?)null;
        var drift = newestSeconds * AwaitedRow.LargestDrift;
        if (arrival is { } newest && (lastSign is { } sign && (newest - sign).TotalSeconds > SignSeconds + drift || facts.Any(fact => fact is AlarmRaised { Code: ServiceAlarmCodes.ClockJumped })))
        {
            return "the clock of this computer was set while the run went on, so nobody can say how long its readings were missing";
        }

        var seconds = (now - (arrival ?? (hasRows ? lastSign : header.StartedAt) ?? header.StartedAt)).TotalSeconds;
        if (seconds < -1)
        {
            return axis is { TestersTime: true } ? null : "the clock of this computer went back meanwhile, so nobody can say how long its readings were missing";
        }

        (away, uncertain) = (Math.Round(Math.Max(0, seconds), 1), Math.Round(arrival is null ? SignSeconds : 0.1 + drift, 1));
        return seconds <= within.TotalSeconds && within > TimeSpan.Zero ? null
            : string.Create(CultureInfo.InvariantCulture, $"its newest reading was archived {seconds / 60:0.0} min ago; a run goes on after at most {within.TotalMinutes:0.#} min (resume.withinMinutes)");
    }
}
