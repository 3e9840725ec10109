namespace Acquire.Core.Results;

/// <summary>What a finding does to the verdict.</summary>
public enum FindingWeight
{
    /// <summary>To be read, without effect on the verdict.</summary>
    Note,

    /// <summary>The run may stand if the analyst accepts the reason.</summary>
    Doubtful,

    /// <summary>The run does not count.</summary>
    Invalid,
}

/// <summary>A rule that the run broke, or a fact a reader of the record must know.</summary>
/// <param name="Code">Stable code, see <see cref="FindingCodes"/>.</param>
/// <param name="Weight">What it does to the verdict.</param>
/// <param name="TimeSeconds">When, on the run's axis, s.</param>
/// <param name="TemperatureCelsius">Specimen temperature then, °C; null before the first reading.</param>
/// <param name="Value">The measured value, in the unit the text states; null where there is none.</param>
/// <param name="Limit">The limit it broke, same unit; null where there is none.</param>
/// <param name="Text">One sentence for the report: what happened, the limit, what to do.</param>
public sealed record Finding(
    string Code,
    FindingWeight Weight,
    double TimeSeconds,
    double? TemperatureCelsius,
    double? Value,
    double? Limit,
    string Text);
