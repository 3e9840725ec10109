namespace Acquire.Core.Thermometry;

/// <summary>Notices a signal that repeats one value although it used to change.</summary>
/// <remarks>
/// A coarse converter repeats itself for seconds on a steady ramp and for minutes in an idle cup, so how long is too long is
/// learnt from the changes before: a signal that has not changed often enough to be known is never called stuck.
/// </remarks>
internal struct StuckWatch
{
    // A pause this many times longer than the longest of late is no longer chance or coarse steps.
    private const double LongerThanUsual = 20;

    // Below this many changes nothing is known about how often the signal changes.
    private const int FewestChanges = 20;

    // The longest pause is forgotten slowly: a ramp that comes to rest makes pauses longer one by one.
    private const double Forgetting = 0.97;

    private double _signal;
    private double _changedAt;
    private double _longestPause;
    private int _changes;
    private bool _any;

    /// <summary>Takes a signal; returns whether it is stuck.</summary>
    /// <param name="atSeconds">Its time, s.</param>
    /// <param name="signal">As sent.</param>
    /// <param name="afterSeconds">Shortest time that may be called stuck, s.</param>
    public bool Take(double atSeconds, double signal, double afterSeconds)
    {
        if (_any && signal == _signal)
        {
            return _changes >= FewestChanges && atSeconds - _changedAt > Math.Max(afterSeconds, LongerThanUsual * _longestPause);
        }

        if (_any)
        {
            _changes++;
            _longestPause = Math.Max(atSeconds - _changedAt, Forgetting * _longestPause);
        }

        (_any, _signal, _changedAt) = (true, signal, atSeconds);
        return false;
    }
}
