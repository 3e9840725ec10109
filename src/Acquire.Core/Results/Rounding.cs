using Acquire.Core.Methods;

namespace Acquire.Core.Results;

/// <summary>Rounds a corrected figure for the report, once, by the method's rule.</summary>
public static class Rounding
{
    /// <summary>The nearest multiple of the method's step, °C.</summary>
    /// <remarks>
    /// Decimal arithmetic: binary fractions would decide ties by accident. The figure is first cut to a millionth of a
    /// degree, far below any reading, so that 229.5 reached by a sum is still a tie.
    /// </remarks>
    /// <param name="celsius">The corrected figure, °C; finite, within ±10⁶.</param>
    /// <param name="rule">Step and tie rule.</param>
    public static double Round(double celsius, RoundingRule rule)
    {
        ArgumentNullException.ThrowIfNull(rule);
        var step = (decimal)rule.StepCelsius;
        var steps = Math.Round((decimal)celsius, 6) / step;
        var mode = rule.Ties == TieRule.HalfToEven ? MidpointRounding.ToEven : MidpointRounding.AwayFromZero;
        return (double)(Math.Round(steps, mode) * step);
    }
}
