namespace Acquire.Core.Runs;

/// <summary>Who judges what happens at the cup.</summary>
public enum RunMode
{
    /// <summary>The program, from the ignition detector and, where there is one, the flame-position signal.</summary>
    Observed,

    /// <summary>A person works the cup by hand, is told when to apply the test flame, and records what was seen. Detector and flame signal are kept and not judged.</summary>
    Guided,

    /// <summary>As <see cref="Observed"/>, and the program commands the heater's power and the test flame by the same wire: see <see cref="Control.Driver"/>.</summary>
    Driven,
}
