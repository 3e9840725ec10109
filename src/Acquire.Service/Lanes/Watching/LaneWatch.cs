using System.Globalization;
using Acquire.Core.Alarms;
using Acquire.Service.Live;

namespace Acquire.Service.Lanes.Watching;

/// <summary>Looks at one tester's wire a few times a second and raises and clears the alarms about it.</summary>
internal sealed class LaneWatch(LaneInbox inbox, LaneAlarms alarms, double staleAfterSeconds, TimeProvider time)
{
    /// <summary>An alarm about a growing counter ends after this long without growth.</summary>
    public static readonly TimeSpan QuietTime = TimeSpan.FromSeconds(10);

    private long _alive = time.GetTimestamp();
    private bool _stale;
    private Growth _full;
    private Growth _malformed;

    /// <summary>A row came, or a run was opened: the silence starts again from here.</summary>
    public void Alive()
    {
        _alive = time.GetTimestamp();
        if (_stale)
        {
            _stale = false;
            alarms.Clear(AlarmOrigin.Tester, AlarmCodes.StreamStale);
        }
    }

    /// <summary>Looks once.</summary>
    /// <param name="runOpen">Whether a run is open; silence matters only then.</param>
    public void Look(bool runOpen)
    {
        var (state, text) = inbox.Connection;
        if (state == ConnectionState.Down)
        {
            alarms.Raise(AlarmOrigin.Tester, AlarmCodes.SourceDown, $"No connection to the tester: {text ?? "the source gave no reason"}");
        }
        else
        {
            alarms.Clear(AlarmOrigin.Tester, AlarmCodes.SourceDown);
        }

        Silence(runOpen, state);
        var counters = inbox.Counters;
        if (Grown(ref _full, counters.QueueFull, AlarmCodes.QueueFull))
        {
            alarms.Raise(AlarmOrigin.Tester, AlarmCodes.QueueFull, $"The queue of {Show(counters.QueueCapacity)} rows was full and the source had to wait, {Show(counters.QueueFull)} times so far. Nothing is lost here; check the load of this computer and the archive.");
        }

        if (Grown(ref _malformed, counters.Malformed, AlarmCodes.InputMalformed))
        {
            alarms.Raise(AlarmOrigin.Tester, AlarmCodes.InputMalformed, $"{Show(counters.Malformed)} lines, payloads or answers could not be understood; the newest: {inbox.LastRefusal}");
        }
    }

    private void Silence(bool runOpen, ConnectionState state)
    {
        // Rows that wait in the queue are not silence: the lane is behind, not the tester.
        var silent = time.GetElapsedTime(_alive).TotalSeconds;
        // Once silent, only a row ends it: a wire that is up again has not said anything yet.
        var stale = runOpen && (_stale || (inbox.Rows.Count == 0 && (state == ConnectionState.Down || silent >= staleAfterSeconds)));
        if (stale && !_stale)
        {
            alarms.Raise(AlarmOrigin.Tester, AlarmCodes.StreamStale, silent >= staleAfterSeconds
                ? string.Create(CultureInfo.InvariantCulture, $"No reading for {silent:0.#} s while a run is open (allowed: {staleAfterSeconds:0.#} s). The heater may still be on: look at the tester.")
                : "No readings can come while a run is open: the connection to the tester is lost. The heater may still be on: look at the tester.");
        }
        else if (!stale && _stale)
        {
            alarms.Clear(AlarmOrigin.Tester, AlarmCodes.StreamStale);
        }

        _stale = stale;
    }

    private bool Grown(ref Growth growth, long count, string code)
    {
        var grown = count > growth.Count;
        if (grown)
        {
            growth = new(count, time.GetTimestamp(), true);
        }
        else if (growth.Standing && time.GetElapsedTime(growth.At) >= QuietTime)
        {
            growth = growth with { Standing = false };
            alarms.Clear(AlarmOrigin.Tester, code);
        }

        return grown;
    }

    private static string Show(long count) => count.ToString(CultureInfo.InvariantCulture);

    private readonly record struct Growth(long Count, long At, bool Standing);
}
