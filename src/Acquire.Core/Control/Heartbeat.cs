using System.Text.Json.Serialization;

namespace Acquire.Core.Control;

/// <summary>Decides when the heater's command must be sent: at once when it falls to 0, soon when it changes, and always three times within its lifetime.</summary>
/// <remarks>One lost message, or two, do not cut the heater; a service that has died does.</remarks>
public sealed class Heartbeat
{
    // Changes are not sent faster than this, s; a change below the step waits for the beat.
    private const double ShortestSeconds = 0.2, SmallestStep = 0.002;

    /// <summary>The command sent last; null before the first.</summary>
    [JsonInclude]
    public HeaterCommand? Sent { get; private set; }

    /// <summary>Number of the next command.</summary>
    [JsonInclude]
    public long NextSequence { get; private set; }

    /// <summary>Lifetime of each command, ms.</summary>
    [JsonInclude]
    public int LifetimeMilliseconds { get; private set; } = HeaterCommand.DefaultLifetimeMilliseconds;

    /// <summary>Heartbeats whose first command carries a number.</summary>
    /// <param name="firstSequence">Above every number that the tester has seen, such as milliseconds of the wall clock at the start of the service.</param>
    /// <param name="lifetimeMilliseconds">Lifetime, ms; 300 to 10,000.</param>
    /// <exception cref="ArgumentOutOfRangeException">The lifetime is outside its range.</exception>
    public static Heartbeat From(long firstSequence, int lifetimeMilliseconds = HeaterCommand.DefaultLifetimeMilliseconds)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(lifetimeMilliseconds, HeaterCommand.ShortestLifetimeMilliseconds);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(lifetimeMilliseconds, HeaterCommand.LongestLifetimeMilliseconds);
        return new Heartbeat { NextSequence = firstSequence, LifetimeMilliseconds = lifetimeMilliseconds };
    }

    /// <summary>When the next command must be sent at the latest, s; at once before the first.</summary>
    [JsonIgnore]
    public double DueSeconds => Sent is null ? double.NegativeInfinity : Sent.AtSeconds + (LifetimeMilliseconds / 3000.0);

    /// <summary>The command to send now; null where none is due.</summary>
    /// <param name="seconds">Time, s.</param>
    /// <param name="powerFraction">Power that the guard lets through; what is no number from 0 to 1 becomes 0.</param>
    public HeaterCommand? Beat(double seconds, double powerFraction)
    {
        var power = powerFraction is > 0 and <= 1 ? powerFraction : 0;
        if (Sent is { } before && seconds < DueSeconds && seconds >= before.AtSeconds)
        {
            var change = Math.Abs(power - before.PowerFraction);
            var off = power == 0 && before.PowerFraction > 0;
            if (!off && (change < SmallestStep || seconds - before.AtSeconds < ShortestSeconds))
            {
                return null;
            }
        }

        Sent = new HeaterCommand(seconds, NextSequence, power, LifetimeMilliseconds);
        NextSequence++;
        return Sent;
    }
}
