using System.Globalization;
using Acquire.Core.Alarms;
using Acquire.Core.Thermometry;
using Acquire.Service.Live;

namespace Acquire.Service.Lanes.Watching;

/// <summary>Follows whether the calibration of one tester's thermometer is in force, and raises the alarm once it is overdue.</summary>
internal sealed class CalibrationWatch
{
    private readonly ThermometerChain _chain;
    private readonly LaneAlarms _alarms;
    private readonly TimeProvider _time;
    private DateOnly _day;
    private volatile ThermometerOverview _overview;

    public CalibrationWatch(ThermometerChain chain, LaneAlarms alarms, TimeProvider time)
    {
        (_chain, _alarms, _time, _day) = (chain, alarms, time, Today(time));
        _overview = ThermometerOverview.Of(chain, _day);
        Judge();
    }

    /// <summary>The thermometer as it stands today.</summary>
    public ThermometerOverview Overview => _overview;

    /// <summary>The day at this place.</summary>
    public static DateOnly Today(TimeProvider time) => DateOnly.FromDateTime(time.GetLocalNow().DateTime);

    /// <summary>Looks once, a few times a second; works once a day.</summary>
    public void Look()
    {
        if (Today(_time) is var day && day != _day)
        {
            _day = day;
            _overview = ThermometerOverview.Of(_chain, day);
            Judge();
        }
    }

    private void Judge()
    {
        if (_chain.Calibration is { } certificate && _overview.Calibration == CalibrationStanding.Overdue)
        {
            _alarms.Raise(AlarmOrigin.Tester, AlarmCodes.CalibrationOverdue, string.Create(CultureInfo.InvariantCulture, $"The thermometer's calibration (certificate {certificate.Number}) was due on {certificate.DueOn:yyyy-MM-dd}. Have it calibrated; runs made with it are doubtful."));
        }
        else
        {
            _alarms.Clear(AlarmOrigin.Tester, AlarmCodes.CalibrationOverdue);
        }
    }
}
