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

    // Both powers are meant over so long, s.
    private const double MeanSeconds = 30;

    // Commands remembered: more than can be sent within the longest lifetime and the time to answer.
    private const int Remembered = 512;

    private readonly Queue<(long Sequence, double AtSeconds)> _sent = new();
    private long _newest = -1;
    private double _answeredAt = double.NegativeInfinity;
    private double _zeroSince = double.NaN;
    private double _asked;
    private double _lookedAt = double.NaN;
    private double _meanExcess;
    private double _excessSince = double.NaN;
    private int _passes;
    private int _unseen;

    /// <summary>Newest power that the tester says it gives, 0 to 1; null where it has not said any.</summary>
    public double? GivenFraction { get; private set; }

    /// <summary>Age of the newest command that the tester said it obeys, s; null before the first.</summary>
    public double? SecondsSince(double seconds) => double.IsFinite(_answeredAt) ? Math.Max(0, seconds - _answeredAt) : null;

    private double LongestSeconds => (lifetimeMilliseconds / 1000.0) + AnswerSeconds;

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
        _zeroSince = command.HeaterFraction > 0 ? double.NaN : double.IsNaN(_zeroSince) ? seconds : _zeroSince;
    }

    /// <summary>The tester obeys the command with this number.</summary>
    public void Obeys(long sequence)
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
            }
        }
    }

    /// <summary>The tester gives so much power.</summary>
    public void Gives(double fraction) => GivenFraction = double.IsFinite(fraction) ? fraction : null;

    /// <summary>So many passes have been commanded by now.</summary>
    public void Passed(int passes)
    {
        _unseen += Math.Max(0, passes - _passes);
        _passes = passes;
    }

    /// <summary>The tester says that the flame is over the cup.</summary>
    public void FlameSeen() => _unseen = 0;

    /// <summary>The heater is turned on: what was before does not count.</summary>
    public void Restart() => (_unseen, _meanExcess, _excessSince) = (0, 0, double.NaN);

    /// <summary>Trips where the tester does not answer or does not obey.</summary>
    public void Look(GuardState guard, double seconds)
    {
        Excess(seconds);
        if (seconds - _excessSince > ExcessSeconds)
        {
            HeaterGuard.Trip(guard, TripCodes.NotObeyed, seconds, $"The tester gives {Text.Percent(_meanExcess)} more heater power than was commanded, on the mean of half a minute, for {Text.Seconds(seconds - _excessSince)} (limit {Text.Percent(ExcessFraction)}, {Text.Seconds(ExcessSeconds)}). The relay may stick: turn the tester's main switch off.");
        }

        // The newest pass may still be under way.
        if (guard.Armed && _unseen > PassesUnseen)
        {
            HeaterGuard.Trip(guard, TripCodes.FlameNotObeyed, seconds, $"The test flame was sent over the cup {PassesUnseen} times and the tester never said that it was there. Above its flash point the specimen would be heated on unseen. Check the flame's drive and its position signal.");
        }

        if (guard.Armed && Silent(seconds) is { } silent)
        {
            HeaterGuard.Trip(guard, TripCodes.NotAcknowledged, seconds, $"The tester {silent}. Check the wire from this computer to the tester, and that the tester is set to be driven; it must have cut its heater by itself.");
        }

        if (GivenFraction > OffFraction && seconds - _zeroSince > ObeySeconds)
        {
            HeaterGuard.Trip(guard, TripCodes.NotObeyed, seconds, $"The tester still gives {Text.Percent(GivenFraction.Value)} heater power {Text.Seconds(seconds - _zeroSince)} after 0 was commanded (limit {Text.Seconds(ObeySeconds)}). Turn the tester's main switch off.");
        }
    }

    /// <summary>Why the heater may not be turned on; null where it may.</summary>
    public string? Standing(double seconds) =>
        Silent(seconds) is { } silent ? $"the tester {silent}; check the wire to the tester, and that it is set to be driven"
        : GivenFraction > OffFraction && seconds - _zeroSince > ObeySeconds ? $"the tester gives {Text.Percent(GivenFraction.Value)} heater power although 0 is commanded; look at the tester"
        : null;

    private void Excess(double seconds)
    {
        var elapsed = seconds - _lookedAt;
        _lookedAt = seconds;
        if (!(elapsed > 0) || GivenFraction is not { } given)
        {
            return;
        }

        _meanExcess += (1 - Math.Exp(-elapsed / MeanSeconds)) * (given - _asked - _meanExcess);
        _excessSince = _meanExcess <= ExcessFraction ? double.NaN : double.IsNaN(_excessSince) ? seconds : _excessSince;
    }

    private string? Silent(double seconds) => SecondsSince(seconds) is not { } age ? "has not acknowledged any command yet"
        : age > LongestSeconds ? $"has not acknowledged a command of the last {Text.Seconds(LongestSeconds)}"
        : null;
}
