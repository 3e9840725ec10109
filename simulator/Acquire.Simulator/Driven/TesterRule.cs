using Acquire.Core.Control;

namespace Acquire.Simulator;

/// <summary>How a driven tester obeys: it takes a command only if its number is above that of the newest taken, and obeys it for its lifetime. Then, as at the start, it cuts the heater and takes the flame away by itself.</summary>
/// <remarks>All times are of the tester's own clock, which never goes back, s. A tester forgets everything when it is switched off; then any number will do.</remarks>
public sealed class TesterRule
{
    private DriveCommand? newest;
    private double takenAtSeconds;

    /// <summary>Commands taken.</summary>
    public long Taken { get; private set; }

    /// <summary>Commands not taken, because their number was not above that of the newest taken.</summary>
    public long Refused { get; private set; }

    /// <summary>A command has arrived; whether it is taken.</summary>
    /// <param name="command">The command; its ranges have been checked.</param>
    /// <param name="clockSeconds">When it arrived, s.</param>
    public bool Take(DriveCommand command, double clockSeconds)
    {
        ArgumentNullException.ThrowIfNull(command);
        if (!command.Follows(newest))
        {
            Refused++;
            return false;
        }

        (newest, takenAtSeconds) = (command, clockSeconds);
        Taken++;
        return true;
    }

    /// <summary>What the tester does at a moment.</summary>
    /// <param name="clockSeconds">The moment, s; not before the newest call.</param>
    public Obedience At(double clockSeconds) => newest is null ? Obedience.None
        : newest.ExpiredAfter(Math.Round(clockSeconds - takenAtSeconds, 9)) ? Obedience.None with { StirrerOn = newest.StirrerOn }
        : new(newest.Sequence, newest.HeaterFraction, newest.FlameOver, newest.StirrerOn);
}

/// <summary>What a driven tester does.</summary>
/// <param name="Command">Number of the command that it obeys, as it reports it; null while it obeys none.</param>
/// <param name="HeaterFraction">Power that the heater is given, 0 to 1.</param>
/// <param name="FlameOver">Whether the test flame is told to be over the cup.</param>
/// <param name="StirrerOn">Whether the stirrer turns.</param>
public readonly record struct Obedience(long? Command, double HeaterFraction, bool FlameOver, bool StirrerOn)
{
    /// <summary>Obeys no command: heater off, flame away.</summary>
    public static Obedience None { get; } = new(null, 0, false, false);
}
