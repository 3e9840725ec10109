using Acquire.Core.Results;
using Acquire.Core.Runs;

namespace Acquire.Core.Control;

/// <summary>The one application that each portion of a driven equilibrium run gets: when the portion has waited, for as long as shutter and method allow.</summary>
/// <remarks>
/// Pure: time comes with the inputs, on the readings' axis. Without a charged portion the flame does not move, and not for one whose
/// test would not count anyway; never twice for one portion. An application that could not be made in time is left out: whoever
/// turns the heater on again must not be met by a flame.
/// </remarks>
internal sealed class PortionFlame(PortionRules rules, double reactionSeconds)
{
    // Opening and closing take the reaction each; a little is left for the wire. No shorter than a flame needs to be dipped.
    private const double WireSeconds = 0.1, LongestShare = 0.8, ShortestShare = 0.4;

    // Without a reading for longer than this nobody knows how hot the portion is, s.
    private const double LongestSilenceSeconds = 3;

    private double _dueAt = double.NaN;
    private double _awayAt;
    private double _readAt = double.NegativeInfinity;
    private double _celsius;
    private double? _set;
    private bool _burning;
    private bool _stopped;

    /// <summary>Whether the flame is over the cup by command.</summary>
    public bool Over { get; private set; }

    /// <summary>How long the flame is over the cup, s.</summary>
    public double PassSeconds { get; } = Math.Clamp(rules.Rules.ShutterSeconds - (2 * reactionSeconds) - WireSeconds, ShortestShare * rules.Rules.ShutterSeconds, LongestShare * rules.Rules.ShutterSeconds);

    /// <summary>A reading came.</summary>
    public void Read(double seconds, double celsius) => (_readAt, _celsius) = (seconds, celsius);

    /// <summary>Takes what the supervisor stated.</summary>
    public void Note(RunOutput output)
    {
        switch (output)
        {
            case TemperatureSet set:
                (_set, _dueAt) = (set.SetCelsius, double.NaN);
                break;
            case PortionCharged charged:
                _dueAt = _set is { } celsius ? charged.AtSeconds + rules.ChargeAt(celsius).WaitSeconds : double.NaN;
                break;
            case FindingRaised { Finding.Code: FindingCodes.ChargedTooHot or FindingCodes.PortionVolume }:
            case PortionTested:
                _dueAt = double.NaN;
                break;
        }
    }

    /// <summary>The specimen burns, or no longer.</summary>
    public void Burning(bool burning)
    {
        _burning = burning;
        Over &= !burning;
    }

    /// <summary>The flame goes away at once; what was due stays due.</summary>
    public void Withdraw() => Over = false;

    /// <summary>No more applications.</summary>
    public void Stop() => (Over, _stopped) = (false, true);

    /// <summary>Time goes by.</summary>
    public void Tick(double seconds)
    {
        if (Over)
        {
            Over = seconds < _awayAt && seconds > _awayAt - PassSeconds - LongestSilenceSeconds;
            return;
        }

        var late = seconds + reactionSeconds - _dueAt;
        if (_stopped || _burning || !(late >= 0))
        {
            return;
        }

        if (late > rules.Rules.WaitToleranceSeconds)
        {
            _dueAt = double.NaN;
        }
        else if (seconds - _readAt <= LongestSilenceSeconds && _celsius <= _set + rules.Rules.BlockToleranceCelsius)
        {
            (Over, _awayAt, _dueAt) = (true, seconds + PassSeconds, double.NaN);
        }
    }
}
