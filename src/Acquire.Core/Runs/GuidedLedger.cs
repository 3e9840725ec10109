namespace Acquire.Core.Runs;

/// <summary>What stands between the program and the person at the cup. Part of a run's snapshot.</summary>
internal sealed class GuidedLedger
{
    /// <summary>Time of the newest reading, s; null before the first. Tells where among the readings an observation was made.</summary>
    public double? ReadingSeconds { get; set; }

    /// <summary>The application that the person was asked for and has not answered yet.</summary>
    public DuePrompt? Prompt { get; set; }

    /// <summary>The due temperature that was prompted last, °C: each is prompted once.</summary>
    public double? PromptedCelsius { get; set; }

    /// <summary>When the newest observation was a flash that counted, s; null where the newest was anything else.</summary>
    public double? FlashedAt { get; set; }

    /// <summary>Since when the specimen burns, s; null while it does not.</summary>
    public double? BurningSince { get; set; }

    /// <summary>Whether the burn has been judged, or is none that could be a fire point.</summary>
    public bool BurnJudged { get; set; }

    /// <summary>Whether nobody could say meanwhile that it went out, because the service had stopped: how long it burned is not known.</summary>
    public bool BurnUnseen { get; set; }
}

/// <summary>An application that the person was asked for.</summary>
/// <param name="Number">Which one, from 1.</param>
/// <param name="DueCelsius">Temperature at which it is due, °C.</param>
internal sealed record DuePrompt(int Number, double DueCelsius);
