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

    // Commands remembered: more than can be sent within the longest lifetime and the time to answer.
    private const int Remembered = 512;

    private readonly Queue<(long Sequence, double AtSeconds)> _sent = new();
    private long _newest = -1;
    private double _answeredAt = double.NegativeInfinity;
    private double _zeroSince = double.NaN;

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

    /// <summary>Trips where the tester does not answer or does not obey.</summary>
    public void Look(GuardState guard, double seconds)
    {
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

    private string? Silent(double seconds) => SecondsSince(seconds) is not { } age ? "has not acknowledged any command yet"
        : age > LongestSeconds ? $"has not acknowledged a command of the last {Text.Seconds(LongestSeconds)}"
        : null;
}
