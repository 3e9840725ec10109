namespace Acquire.Core.Control;

/// <summary>Everything that a driven tester is told: one message holds the whole wanted state, so that a lost one is repaired by the next.</summary>
/// <remarks>Without a newer command the tester by itself cuts the heater and takes the flame away when the lifetime is over.</remarks>
/// <param name="Sequence">Grows with each command; the tester takes no command whose number is not above that of the newest taken.</param>
/// <param name="LifetimeMilliseconds">How long the command holds from its arrival, by the tester's own clock, ms; 300 to 10,000.</param>
/// <param name="HeaterFraction">Power of the heater, 0 to 1 of its most.</param>
/// <param name="FlameOver">Whether the test flame is to be over the cup.</param>
/// <param name="StirrerOn">Whether the stirrer is to turn.</param>
public sealed record DriveCommand(long Sequence, int LifetimeMilliseconds, double HeaterFraction, bool FlameOver, bool StirrerOn)
{
    /// <summary>The lifetime unless another one is configured, ms.</summary>
    public const int DefaultLifetimeMilliseconds = 1500;

    /// <summary>Shortest lifetime, ms.</summary>
    public const int ShortestLifetimeMilliseconds = 300;

    /// <summary>Longest lifetime, ms.</summary>
    public const int LongestLifetimeMilliseconds = 10_000;

    /// <summary>Whether the heater is off and the flame away: what a tester does by itself once a command has expired.</summary>
    public bool IsSafe => HeaterFraction == 0 && !FlameOver;

    /// <summary>Whether a tester that took this command must have cut its heater and taken the flame away, no newer command having come.</summary>
    /// <param name="sinceArrivalSeconds">Time since the command arrived, s, by the tester's own clock.</param>
    public bool ExpiredAfter(double sinceArrivalSeconds) => !(sinceArrivalSeconds < LifetimeMilliseconds / 1000.0);

    /// <summary>Whether a tester may take this command after another.</summary>
    /// <param name="before">The newest command taken; null where there was none.</param>
    public bool Follows(DriveCommand? before) => before is null || Sequence > before.Sequence;
}
