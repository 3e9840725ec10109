namespace Acquire.Core.Runs;

/// <summary>How we know that the test flame was applied.</summary>
public enum ApplicationEvidence
{
    /// <summary>A flame-position signal said so.</summary>
    FlameSignal,

    /// <summary>The detector saw the pass.</summary>
    DetectorSignature,

    /// <summary>Nothing was seen; the schedule said it was due.</summary>
    Schedule,

    /// <summary>A person at the cup said what was seen.</summary>
    Person,
}

/// <summary>One pass of the test flame over the cup.</summary>
/// <param name="Number">From 1.</param>
/// <param name="TimeSeconds">When the flame came over the cup, s.</param>
/// <param name="TemperatureCelsius">Specimen temperature as read then, °C.</param>
/// <param name="DurationSeconds">How long the flame stayed, s; null where no signal tells.</param>
/// <param name="Evidence">How we know.</param>
/// <param name="Flash">Whether a flash (or burning) followed.</param>
/// <param name="Significance">Strength of the evidence for a flash, in standard deviations of the detector's own noise.</param>
public sealed record Application(
    int Number,
    double TimeSeconds,
    double TemperatureCelsius,
    double? DurationSeconds,
    ApplicationEvidence Evidence,
    bool Flash,
    double Significance)
{
    /// <summary>Whether the test flame was out, so that no flash could show: the application does not count in the series.</summary>
    public bool Unlit { get; init; }
}
