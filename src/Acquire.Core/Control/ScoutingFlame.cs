using Acquire.Core.Detection;
using Acquire.Core.Runs;

namespace Acquire.Core.Control;

/// <summary>When the test flame is due in a driven scouting run: counted from the start that was really read, at the interval that the method sets for what has been reached.</summary>
/// <remarks>
/// The start is the lowest mean reading since a person first turned the heater on, so that a thermometer that was not in the
/// specimen yet is no start; as the supervisor does, it is taken to stand once the specimen is 1 °C above it. Nothing is due before.
/// </remarks>
internal sealed class ScoutingFlame(RunPlan plan, double reactionSeconds)
{
    private readonly ScoutingLedger _ledger = new();
    private readonly RampEstimator _ramp = new();

    /// <summary>The rules; null while the start is not known.</summary>
    public FlameRules? Rules { get; private set; }

    /// <summary>Takes a sound reading of a specimen whose heater is on.</summary>
    public void Read(double seconds, double celsius)
    {
        if (_ledger.Begun || !_ramp.Add(seconds, celsius) || _ramp.ReadAt(_ramp.NewestSeconds) is not { } mean)
        {
            return;
        }

        _ledger.Start(mean);
        if (mean - _ledger.StartCelsius >= ScoutingRules.HeatedCelsius)
        {
            _ledger.Begin();
            var rules = _ledger.Rules(plan);
            Rules = new(rules.FirstApplicationCelsius, due => due + After(due), rules.Applications.PassSeconds, reactionSeconds);
        }
    }

    /// <summary>The interval after an application at this temperature, °C.</summary>
    public double After(double celsius)
    {
        _ledger.Reach(celsius);
        return _ledger.Rules(plan).Applications.IntervalCelsius;
    }
}
