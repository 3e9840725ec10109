using Acquire.Core.Readings;
using Acquire.Core.Thermometry;

namespace Acquire.Service.Lanes.Watching;

/// <summary>Raises and clears the alarms about one tester's thermometer, with or without a run.</summary>
internal sealed class FaultWatch(LaneAlarms alarms, TimeProvider time)
{
    /// <summary>A fault's alarm ends after this long without it: a loose contact comes and goes.</summary>
    public static readonly TimeSpan QuietTime = TimeSpan.FromSeconds(3);

    private readonly long[] _seen = new long[ThermometerFaults.All.Count];
    private ReadingMarks _standing;

    /// <summary>Takes the marks of a row.</summary>
    public void Take(ReadingMarks marks)
    {
        if ((marks & ReadingMarks.Bad) == 0)
        {
            return;
        }

        var now = time.GetTimestamp();
        foreach (var fault in ThermometerFaults.All)
        {
            if ((marks & fault.Mark) == 0)
            {
                continue;
            }

            _seen[fault.Index] = now;
            if ((_standing & fault.Mark) == 0)
            {
                _standing |= fault.Mark;
                alarms.Raise(AlarmOrigin.Tester, fault.Code, fault.Text);
            }
        }
    }

    /// <summary>Looks once, a few times a second.</summary>
    public void Look()
    {
        if (_standing == ReadingMarks.None)
        {
            return;
        }

        foreach (var fault in ThermometerFaults.All)
        {
            if ((_standing & fault.Mark) != 0 && time.GetElapsedTime(_seen[fault.Index]) >= QuietTime)
            {
                _standing &= ~fault.Mark;
                alarms.Clear(AlarmOrigin.Tester, fault.Code);
            }
        }
    }
}
