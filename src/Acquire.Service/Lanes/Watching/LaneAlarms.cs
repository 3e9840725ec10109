using Acquire.Service.Live;

namespace Acquire.Service.Lanes.Watching;

/// <summary>Who raised an alarm, and so who clears it.</summary>
internal enum AlarmOrigin
{
    /// <summary>The lane: wire, queue, archive.</summary>
    Tester,

    /// <summary>The supervisor of the open run; the alarm ends with the run.</summary>
    Run,

    /// <summary>The driver of a driven tester; the alarm ends when the heater is turned on again, or with a new run.</summary>
    Heater,
}

/// <summary>The alarms of one tester that stand. Written by its lane, read by anyone.</summary>
internal sealed class LaneAlarms(TimeProvider time)
{
    private readonly Dictionary<(AlarmOrigin Origin, string Code), StandingAlarm> _standing = [];
    private readonly Lock _lock = new();
    private volatile IReadOnlyList<StandingAlarm> _list = [];

    /// <summary>One alarm a code, oldest first.</summary>
    public IReadOnlyList<StandingAlarm> Standing => _list;

    /// <summary>Raises an alarm, or renews the text of one that stands already.</summary>
    public void Raise(AlarmOrigin origin, string code, string text)
    {
        lock (_lock)
        {
            var stands = _standing.TryGetValue((origin, code), out var standing);
            if (!stands || standing!.Text != text)
            {
                _standing[(origin, code)] = new(code, text, stands ? standing!.Since : time.GetUtcNow());
                Publish();
            }
        }
    }

    /// <summary>Ends an alarm; nothing happens where it does not stand.</summary>
    public void Clear(AlarmOrigin origin, string code)
    {
        lock (_lock)
        {
            if (_standing.Remove((origin, code)))
            {
                Publish();
            }
        }
    }

    /// <summary>Ends all alarms of the run.</summary>
    public void EndRun() => End(AlarmOrigin.Run);

    /// <summary>Ends all alarms of an origin.</summary>
    public void End(AlarmOrigin origin)
    {
        lock (_lock)
        {
            foreach (var key in _standing.Keys.Where(key => key.Origin == origin).ToArray())
            {
                _standing.Remove(key);
            }

            Publish();
        }
    }

    private void Publish() => _list = [.. _standing.Values.OrderBy(alarm => alarm.Since).DistinctBy(alarm => alarm.Code)];
}
