namespace Acquire.Simulator;

/// <summary>What moves the test flame over a simulated cup: a mechanism, or a person.</summary>
internal interface ITestFlame
{
    /// <summary>The pass that is under way or was last made; null before the first.</summary>
    FlamePass? Current { get; }

    /// <summary>How many passes are made after the first flash where no fire is to come.</summary>
    int PassesAfterFlash { get; }

    /// <summary>Whether whoever moves it has turned the heater off.</summary>
    bool IsDone { get; }

    /// <summary>The keys that were pressed, or will be; empty for a mechanism.</summary>
    IReadOnlyList<SimulatedKey> Keys { get; }

    /// <summary>Moves the flame. True at the moment it is over the middle of the cup.</summary>
    bool Step(double seconds, double readCelsius, bool burning);
}
