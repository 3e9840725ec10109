namespace Acquire.Core.Thermometry;

/// <summary>Follows the measured temperature of a reference junction, and says when it is not to be believed.</summary>
/// <remarks>
/// A junction is a piece of metal in the tester's case: it warms by some degrees in a run and not in a minute. A thermocouple
/// cannot contradict it: whatever it is wrong by, the specimen's temperature is wrong by. So a junction that has run away is
/// believed again only once it is back where it was.
/// </remarks>
internal sealed class JunctionWatch(ThermometerLimits limits)
{
    // A case beside a hot plate warms by a few degrees in a quarter of an hour. Common practice, no source.
    private const double MostCelsiusAMinute = 3;
    private const double MinuteSeconds = 60;
    private const double BackWithinCelsius = 1.5;

    // A row may come late, and finds the junction of a later moment, s. Farther ahead the junction's time was damaged on the wire.
    private const double LatestSeconds = 60;

    // It changes slowly, and many testers send it in whole tenths: only a long silence of a fine channel tells.
    private const double StuckPauses = 20;

    private readonly ValueRhythm _rhythm = new();
    private double _celsius;
    private double _at = double.NaN;
    private double? _ranAwayFrom;

    // Lowest and highest of the minute that runs and of the one before it.
    private (double Low, double High) _now = Nothing;
    private (double Low, double High) _before = Nothing;
    private double _minuteBegan = double.NegativeInfinity;

    private static (double Low, double High) Nothing => (double.PositiveInfinity, double.NegativeInfinity);

    /// <summary>Takes a reading of the junction.</summary>
    public void Take(double atSeconds, double celsius)
    {
        if (atSeconds <= _at)
        {
            return;
        }

        if (_ranAwayFrom is { } was)
        {
            _ranAwayFrom = Math.Abs(celsius - was) <= BackWithinCelsius ? null : was;
        }
        else if (!double.IsNaN(_at) && IsFar(celsius))
        {
            _ranAwayFrom = _celsius;
        }

        (_celsius, _at) = (celsius, atSeconds);
        _rhythm.Take(atSeconds, celsius);
        if (_ranAwayFrom is null)
        {
            Remember(atSeconds, celsius);
        }
    }

    /// <summary>The junction's temperature at a time, °C; null where it is unknown, too far away in time, either way, or not to be believed.</summary>
    public double? At(double atSeconds) =>
        atSeconds - _at <= limits.StaleAfterSeconds && _at - atSeconds <= LatestSeconds
        && _celsius >= limits.JunctionColdestCelsius && _celsius <= limits.JunctionHottestCelsius
        && _ranAwayFrom is null
        && !_rhythm.IsOverdue(atSeconds, limits.StuckAfterSeconds, StuckPauses)
            ? _celsius
            : null;

    private bool IsFar(double celsius) =>
        celsius - Math.Min(_now.Low, _before.Low) > MostCelsiusAMinute || Math.Max(_now.High, _before.High) - celsius > MostCelsiusAMinute;

    private void Remember(double atSeconds, double celsius)
    {
        if (atSeconds - _minuteBegan >= MinuteSeconds)
        {
            (_before, _now, _minuteBegan) = (_now, Nothing, atSeconds);
        }

        _now = (Math.Min(_now.Low, celsius), Math.Max(_now.High, celsius));
    }
}
