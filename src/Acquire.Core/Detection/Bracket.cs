namespace Acquire.Core.Detection;

/// <summary>Bounds between which a value is thought to be. A poor guess costs time and never changes an answer.</summary>
/// <param name="Low">Not above it.</param>
/// <param name="High">Not below it; where this is not above the other, nothing is known.</param>
internal readonly record struct Bracket(double Low, double High)
{
    /// <summary>Whether anything is known.</summary>
    public bool IsGuess => High > Low;

    /// <summary>A value, and so much to either side.</summary>
    public static Bracket About(double value, double within) => new(value - within, value + within);
}
