namespace Acquire.Core.Control;

/// <summary>What the tester is told about its heater. Without a newer one the tester cuts the heater when the lifetime is over.</summary>
/// <param name="AtSeconds">Time on the run's axis, s.</param>
/// <param name="Sequence">Grows with each command; the tester takes no command whose number is not above that of the one before.</param>
/// <param name="PowerFraction">Power, 0 to 1 of the heater's most; never anything else.</param>
/// <param name="LifetimeMilliseconds">How long the command holds from its arrival, ms; the tester then sets 0 by itself.</param>
public sealed record HeaterCommand(double AtSeconds, long Sequence, double PowerFraction, int LifetimeMilliseconds)
{
    /// <summary>The lifetime unless another one is configured, ms.</summary>
    public const int DefaultLifetimeMilliseconds = 1500;

    /// <summary>Shortest and longest lifetime that may be configured, ms.</summary>
    public const int ShortestLifetimeMilliseconds = 300, LongestLifetimeMilliseconds = 10_000;

    /// <summary>Whether a tester that took this command must have cut its heater, no newer one having come.</summary>
    /// <param name="sinceArrivalSeconds">Time since the command arrived, s, by the tester's own clock.</param>
    public bool ExpiredAfter(double sinceArrivalSeconds) => !(sinceArrivalSeconds < LifetimeMilliseconds / 1000.0);

    /// <summary>Whether a tester may take this command after another.</summary>
    public bool Follows(HeaterCommand? before) => before is null || Sequence > before.Sequence;
}
