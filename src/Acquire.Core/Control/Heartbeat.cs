using System.Text.Json.Serialization;

namespace Acquire.Core.Control;

/// <summary>Decides when a command must be sent: at once when the heater falls or flame or stirrer change, soon when the heater rises, and always more than three times within its lifetime.</summary>
/// <remarks>One lost message, or two, do not cut the heater; a service that has died does.</remarks>
public sealed class Heartbeat
{
    // A rise is not sent faster than this, s; a change below the step waits for the beat.
    private const double ShortestSeconds = 0.2, SmallestStep = 0.002;

    /// <summary>So many commands at the least go out within each lifetime.</summary>
    public const int CommandsWithinLifetime = 3;

    /// <summary>The command sent last; null before the first.</summary>
    [JsonInclude]
    public DriveCommand? Sent { get; private set; }

    /// <summary>When it was sent, s; -∞ before the first.</summary>
    [JsonInclude]
    public double SentAtSeconds { get; private set; } = double.NegativeInfinity;

    /// <summary>Number of the next command.</summary>
    [JsonInclude]
    public long NextSequence { get; private set; }

    /// <summary>Lifetime of each command, ms.</summary>
    [JsonInclude]
    public int LifetimeMilliseconds { get; private set; } = DriveCommand.DefaultLifetimeMilliseconds;

    /// <summary>Heartbeats whose first command carries a number.</summary>
    /// <param name="firstSequence">Above every number that the tester has seen, such as milliseconds of the wall clock at the start of the service.</param>
    /// <param name="lifetimeMilliseconds">Lifetime, ms; 300 to 10,000.</param>
    /// <exception cref="ArgumentOutOfRangeException">The lifetime is outside its range, or the number below 0.</exception>
    public static Heartbeat From(long firstSequence, int lifetimeMilliseconds = DriveCommand.DefaultLifetimeMilliseconds)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(firstSequence);
        ArgumentOutOfRangeException.ThrowIfLessThan(lifetimeMilliseconds, DriveCommand.ShortestLifetimeMilliseconds);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(lifetimeMilliseconds, DriveCommand.LongestLifetimeMilliseconds);
        return new Heartbeat { NextSequence = firstSequence, LifetimeMilliseconds = lifetimeMilliseconds };
    }

    /// <summary>When the next command must be sent at the latest, s: a sixth of the lifetime, so that a clock that ticks every twelfth of it still makes four, and a wire that loses some lets none run out. At once before the first.</summary>
    [JsonIgnore]
    public double DueSeconds => SentAtSeconds + (LifetimeMilliseconds / 6000.0);

    /// <summary>How often the clock must tick at the least for three commands within each lifetime, s.</summary>
    /// <param name="lifetimeMilliseconds">Lifetime, ms; 300 to 10,000.</param>
    public static double LongestTickSeconds(int lifetimeMilliseconds) => Math.Min(0.1, lifetimeMilliseconds / 12_000.0);

    /// <summary>The command to send now; null where none is due.</summary>
    /// <param name="seconds">Time, s.</param>
    /// <param name="heaterFraction">Power that the guard lets through; what is no number from 0 to 1 becomes 0.</param>
    /// <param name="flameOver">Whether the flame is to be over the cup.</param>
    /// <param name="stirrerOn">Whether the stirrer is to turn.</param>
    public DriveCommand? Beat(double seconds, double heaterFraction, bool flameOver, bool stirrerOn)
    {
        var heater = heaterFraction is > 0 and <= 1 ? heaterFraction : 0;
        if (Sent is { } before && seconds < DueSeconds && seconds >= SentAtSeconds && flameOver == before.FlameOver && stirrerOn == before.StirrerOn)
        {
            var rise = heater - before.HeaterFraction;
            var falls = rise <= -SmallestStep || (heater == 0 && rise < 0);
            if (!falls && (rise < SmallestStep || seconds - SentAtSeconds < ShortestSeconds))
            {
                return null;
            }
        }

        SentAtSeconds = seconds;
        Sent = new DriveCommand(NextSequence, LifetimeMilliseconds, heater, flameOver, stirrerOn);
        NextSequence++;
        return Sent;
    }
}
