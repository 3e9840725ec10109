namespace Acquire.Core.Control;

/// <summary>What leads the heater and the flame: a ramp, what a scouting run has found, or a block that is kept at a temperature.</summary>
public sealed partial class Driver
{
    private GuardLimits Limits => _holding?.Limits ?? _rampLimits;

    private bool FlameIsOver => _holding?.Flame.Over ?? _flame.Over;

    private bool Stirs => !IsClosed && _plan.Applied.Stirring is { } stirring && !(stirring.StoppedDuringApplication && FlameIsOver);

    private void Burning(bool burning)
    {
        FlameScheduler.Burning(_flame, _axis.At(_now), burning);
        _holding?.Flame.Burning(burning);
    }

    private void StopFlame()
    {
        FlameScheduler.Stop(_flame, _axis.At(_now));
        _holding?.Flame.Stop();
    }

    private void Lead(double seconds, double celsius)
    {
        if (_holding is not null)
        {
            _holding.Flame.Read(seconds, celsius);
            if (_ramp is not null)
            {
                HoldController.Take(_ramp, _holding.SetCelsius, _settings.Heater, seconds, celsius, _guard.Armed);
            }

            return;
        }

        if (_scouting is not null && _ramp is not null)
        {
            _scouting.Read(seconds, celsius);
            _flameRules = _scouting.Rules;
        }

        if (_flameRules is not null)
        {
            FlameScheduler.Learn(_flame, _flameRules, seconds, celsius);
        }

        if (_ramp is not null)
        {
            RampController.Take(_ramp, _heating!, _settings.Heater, seconds, celsius, _guard.Armed);
        }
    }

    // Nothing moves over a cup whose heater a person or a trip has turned off, nor before it is known when it is due.
    private void MoveFlame(double at)
    {
        if (_holding is not null && _guard.Armed)
        {
            _holding.Flame.Tick(at);
        }
        else if (_guard.Armed && _flameRules is not null)
        {
            FlameScheduler.Tick(_flame, _flameRules, at);
        }
        else
        {
            FlameScheduler.Withdraw(_flame, at);
            _holding?.Flame.Withdraw();
        }
    }
}
