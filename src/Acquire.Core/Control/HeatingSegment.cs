using Acquire.Core.Methods;

namespace Acquire.Core.Control;

/// <summary>What a stretch of the heating is for.</summary>
public enum HeatingPart
{
    /// <summary>Start heating, as fast as the method allows with a margin.</summary>
    Start,

    /// <summary>Heat is eased: the rate goes over smoothly from the stretch before to this one's target.</summary>
    Easing,

    /// <summary>The method's controlled band must hold.</summary>
    Controlled,
}

/// <summary>One stretch of the heating, by what the thermometer reads.</summary>
/// <param name="Part">What it is for.</param>
/// <param name="FromCelsius">Where it begins, °C; negative infinity for the first.</param>
/// <param name="ToCelsius">Where it ends, °C; positive infinity for the last.</param>
/// <param name="TargetCelsiusPerMinute">The rate to keep, °C/min; of <see cref="HeatingPart.Easing"/> the rate to arrive at.</param>
/// <param name="Band">The band that the method sets there, °C/min; null while heat is eased.</param>
public sealed record HeatingSegment(HeatingPart Part, double FromCelsius, double ToCelsius, double TargetCelsiusPerMinute, RateBand? Band);
