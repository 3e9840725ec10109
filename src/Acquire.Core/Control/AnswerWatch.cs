using Acquire.Core.Readings;

namespace Acquire.Core.Control;

/// <summary>Follows what a driven tester says of the commands it was sent: which one it obeys, and how much power it really gives.</summary>
/// <remarks>Time is the service's own monotonic clock. A number that was never sent, or long ago, is no acknowledgement.</remarks>
internal sealed class AnswerWatch(int lifetimeMilliseconds)
{
    /// <summary>Longest time beyond a command's lifetime without an acknowledgement, s.</summary>
    public const double AnswerSeconds = 2;

    /// <summary>Longest time for which the tester may give power although none is commanded, s.</summary>
    public const double ObeySeconds = 3;

    // Below this the heater counts as off, as in the guard.
    private const double OffFraction = 0.005;

    /// <summary>Longest time for which the mean power given may exceed the mean power commanded, s.</summary>
    public const double ExcessSeconds = 30;

    /// <summary>By how much it may, as a part of full power: a heater that is switched in cycles tells its mean badly.</summary>
    public const double ExcessFraction = 0.15;

    /// <summary>So many passes in a row without the flame over the cup, and nothing would be seen of a flash.</summary>
    public const int PassesUnseen = 3;

    /// <summary>A power that was told longer ago than this says nothing of now, s.</summary>
    public const double StaleSeconds = 2;

    /// <summary>Longest time beyond a command's lifetime for which the flame may be over the cup although it is commanded away, s: it has to swing back.</summary>
    public const double FlameAwaySeconds = 2;

    // Both powers are meant over so long, s.
    private const double MeanSeconds = 30;

    // Commands remembered: more than can be sent within the longest lifetime and the time to answer.
    private const int Remembered = 512;

    private readonly Queue<(long Sequence, double AtSeconds)> _sent = new();
    private long _newest = -1;
    private double _answeredAt = double.NegativeInfinity;
    private double _zeroSince = double.NaN;
    private double _zeroHeldFrom = double.NaN;
    private long _zeroSequence;
    private double _flameAwaySince = double.NaN;
    private double _flameOverAt = double.NegativeInfinity;
    private double? _given;
    private double _givenAt = double.NegativeInfinity;
    private bool _answeredSinceOn;
    private bool _lapsed;
    private RowChannels? _beside;
    private double _asked;
    private double _lookedAt = double.NaN;
    private double _meanExcess;
    private double _excessSince = double.NaN;
    private int _passes;
    private int _unseen;

    /// <summary>Power that the tester says it gives, 0 to 1; null where it has not said any lately.</summary>
    public double? GivenFraction(double seconds) => seconds - _givenAt <= StaleSeconds ? _given : null;

    /// <summary>Age of the newest command that the tester said it obeys, s; null before the first.</summary>
    public double? SecondsSince(double seconds) => double.IsFinite(_answeredAt) ? Math.Max(0, seconds - _answeredAt) : null;

    private double LifetimeSeconds => lifetimeMilliseconds / 1000.0;

    private double LongestSeconds => LifetimeSeconds + AnswerSeconds;

    /// <summary>A command goes out.</summary>
    public void Sent(DriveCommand command, double seconds)
    {
        _newest = command.Sequence;
        _sent.Enqueue((command.Sequence, seconds));
        if (_sent.Count > Remembered)
        {
            _sent.Dequeue();
        }

        _asked = command.HeaterFraction;
        _flameAwaySince = command.FlameOver ? double.NaN : double.IsNaN(_flameAwaySince) ? seconds : _flameAwaySince;
        if (command.HeaterFraction > 0)
        {
            _zeroSince = _zeroHeldFrom = double.NaN;
        }
        else if (double.IsNaN(_zeroSince))
        {
            // Where the wire is down the tester rightly heats on until the command before has outlived its lifetime.
            (_zeroSince, _zeroHeldFrom, _zeroSequence) = (seconds, seconds + LifetimeSeconds, command.Sequence);
        }
    }

    /// <summary>A row came: it names the command that the tester obeys, says that it obeys none, or is none that would tell.</summary>
    public void Row(in ReadingRow row, double seconds)
    {
        if (row.Has(RowChannels.Command))
        {
            // A tester may send its channels on several topics, or some more often than others: only a row like those that told of commands tells that there is none.
            _beside = (_beside ?? row.Present) & row.Present & ~RowChannels.Command;
            Obeys(row.Command, seconds);
        }
        else if (_beside is { } beside && beside != RowChannels.None && (row.Present & beside) == beside)
        {
            _lapsed |= _answeredSinceOn;
        }
    }

    private void Obeys(long sequence, double seconds)
    {
        if (sequence > _newest)
        {
            return;
        }

        while (_sent.TryPeek(out var oldest) && oldest.Sequence <= sequence)
        {
            _sent.Dequeue();
            if (oldest.Sequence == sequence)
            {
                // The same number may be told again until a newer one has come: it then only grows older.
                _answeredAt = oldest.AtSeconds;
                _answeredSinceOn = true;
                _zeroHeldFrom = sequence >= _zeroSequence ? Math.Min(_zeroHeldFrom, seconds) : _zeroHeldFrom;
            }
        }
    }

    /// <summary>The tester gives so much power.</summary>
    public void Gives(double fraction, double seconds) => (_given, _givenAt) = (double.IsFinite(fraction) ? fraction : null, seconds);

    /// <summary>So many passes have been commanded by now.</summary>
    public void Passed(int passes)
    {
        _unseen += Math.Max(0, passes - _passes);
        _passes = passes;
    }

    /// <summary>The tester says that the flame is over the cup.</summary>
    public void FlameSeen(double seconds) => (_unseen, _flameOverAt) = (0, seconds);

    /// <summary>The tester says that the flame is away.</summary>
    public void FlameIsAway() => _flameOverAt = double.NegativeInfinity;

    /// <summary>The heater is turned on: what was before does not count.</summary>
    public void Restart()
    {
        (_unseen, _meanExcess, _excessSince) = (0, 0, double.NaN);
        (_answeredSinceOn, _lapsed) = (false, false);
    }

    /// <summary>Trips where the tester does not answer or does not obey.</summary>
    public void Look(GuardState guard, double seconds)
    {
        LookAtPower(guard, seconds);
        LookAtFlame(guard, seconds);
        if (guard.Armed && _lapsed)
        {
            HeaterGuard.Trip(guard, TripCodes.NotAcknowledged, seconds, "The tester says that it obeys no command any more: it let one run out, was started anew, or its wire was interrupted, and has cut its heater by itself. Heat does not come back by itself. Check the tester and its wire before a person turns the heater on again.");
        }

        if (guard.Armed && Silent(seconds) is { } silent)
        {
            HeaterGuard.Trip(guard, TripCodes.NotAcknowledged, seconds, $"The tester {silent}. Check the wire from this computer to the tester, and that the tester is set to be driven; it must have cut its heater by itself.");
        }
    }

    /// <summary>Why the heater may not be turned on; null where it may.</summary>
    public string? Standing(double seconds) =>
        Silent(seconds) is { } silent ? $"the tester {silent}; check the wire to the tester, and that it is set to be driven"
        : Disobeyed(seconds) is { } given ? $"the tester gives {Text.Percent(given)} heater power although 0 is commanded; look at the tester"
        : FlameStuck(seconds) is not null ? "the tester says that the test flame is over the cup although it is commanded away; look at the tester"
        : null;

    private void LookAtPower(GuardState guard, double seconds)
    {
        Excess(seconds);
        if (seconds - _excessSince > ExcessSeconds)
        {
            HeaterGuard.Trip(guard, TripCodes.NotObeyed, seconds, $"The tester gives {Text.Percent(_meanExcess)} more heater power than was commanded, on the mean of half a minute, for {Text.Seconds(seconds - _excessSince)} (limit {Text.Percent(ExcessFraction)}, {Text.Seconds(ExcessSeconds)}). The relay may stick: turn the tester's main switch off.");
        }

        if (Disobeyed(seconds) is { } given)
        {
            HeaterGuard.Trip(guard, TripCodes.NotObeyed, seconds, $"The tester still gives {Text.Percent(given)} heater power {Text.Seconds(_givenAt - _zeroHeldFrom)} after it must have been 0 (limit {Text.Seconds(ObeySeconds)}). Turn the tester's main switch off.");
        }
    }

    private void LookAtFlame(GuardState guard, double seconds)
    {
        // The newest pass may still be under way.
        if (guard.Armed && _unseen > PassesUnseen)
        {
            HeaterGuard.Trip(guard, TripCodes.FlameNotObeyed, seconds, $"The test flame was sent over the cup {PassesUnseen} times and the tester never said that it was there. Above its flash point the specimen would be heated on unseen. Check the flame's drive and its position signal.");
        }

        if (FlameStuck(seconds) is { } stuck)
        {
            HeaterGuard.Trip(guard, TripCodes.FlameNotObeyed, seconds, $"The test flame is stuck over the cup: the tester says it is there {Text.Seconds(stuck)} after it was commanded away (limit {Text.Seconds(LifetimeSeconds + FlameAwaySeconds)}). Move it away by hand or shut its gas; vapour may ignite at any moment.");
        }
    }

    // Only what was read after the 0 must have been obeyed counts: a value from before it says nothing where the wire is down.
    private double? Disobeyed(double seconds) =>
        GivenFraction(seconds) is > OffFraction and var given && _givenAt - _zeroHeldFrom > ObeySeconds ? given : null;

    private double? FlameStuck(double seconds) =>
        seconds - _flameOverAt <= StaleSeconds && _flameOverAt - _flameAwaySince is var stuck && stuck > LifetimeSeconds + FlameAwaySeconds ? stuck : null;

    private void Excess(double seconds)
    {
        var elapsed = seconds - _lookedAt;
        _lookedAt = seconds;
        if (GivenFraction(seconds) is not { } given)
        {
            (_meanExcess, _excessSince) = (0, double.NaN);
        }
        else if (elapsed > 0)
        {
            _meanExcess += (1 - Math.Exp(-elapsed / MeanSeconds)) * (given - _asked - _meanExcess);
            _excessSince = _meanExcess <= ExcessFraction ? double.NaN : double.IsNaN(_excessSince) ? seconds : _excessSince;
        }
    }

    private string? Silent(double seconds) => SecondsSince(seconds) is not { } age ? "has not acknowledged any command yet"
        : age > LongestSeconds ? $"has not acknowledged a command of the last {Text.Seconds(LongestSeconds)}"
        : null;
}
