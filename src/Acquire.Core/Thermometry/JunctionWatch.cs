namespace Acquire.Core.Thermometry;

/// <summary>Follows the measured temperature of a reference junction, and says when it is not to be believed.</summary>
/// <remarks>
/// A junction is a piece of metal in the tester's case: it warms by some degrees in a run and not in a minute. A thermocouple
/// cannot contradict it: whatever it is wrong by, the specimen's temperature is wrong by.
/// </remarks>
internal sealed class JunctionWatch(ThermometerLimits limits)
{
    // A case beside a hot plate warms by a few degrees in a quarter of an hour. Common practice, no source.
    private const double FastestCelsiusPerMinute = 3;
    private const double MinuteSeconds = 60;

    // It changes slowly, and many testers send it in whole tenths: only a long silence of a fine channel tells.
    private const double StuckPauses = 20;

    private readonly TemperatureGate _gate = new();
    private readonly ValueRhythm _rhythm = new();
    private double _celsius;
    private double _at = double.NaN;
    private double _minuteCelsius;
    private double _minuteAt = double.NaN;
    private double _runsAwayUntil = double.NegativeInfinity;

    /// <summary>Takes a reading of the junction.</summary>
    public void Take(double atSeconds, double celsius)
    {
        var first = double.IsNaN(_at);
        if ((!first && atSeconds <= _at) || (!_gate.Admit(atSeconds, celsius) && !first))
        {
            return;
        }

        (_celsius, _at) = (celsius, atSeconds);
        _rhythm.Take(atSeconds, celsius);
        if (Math.Abs(celsius - _minuteCelsius) > FastestCelsiusPerMinute && atSeconds - _minuteAt <= MinuteSeconds)
        {
            _runsAwayUntil = atSeconds + MinuteSeconds;
        }

        if (!(atSeconds - _minuteAt < MinuteSeconds) || Math.Abs(celsius - _minuteCelsius) > FastestCelsiusPerMinute)
        {
            (_minuteCelsius, _minuteAt) = (celsius, atSeconds);
        }
    }

    /// <summary>The junction's temperature at a time, °C; null where it is unknown, too old or not to be believed.</summary>
    public double? At(double atSeconds) =>
        atSeconds - _at <= limits.StaleAfterSeconds
        && _celsius >= limits.JunctionColdestCelsius && _celsius <= limits.JunctionHottestCelsius
        && atSeconds >= _runsAwayUntil
        && !_rhythm.IsOverdue(atSeconds, limits.StuckAfterSeconds, StuckPauses)
            ? _celsius
            : null;
}
