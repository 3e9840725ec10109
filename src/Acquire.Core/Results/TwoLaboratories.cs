using Acquire.Core.Methods;

namespace Acquire.Core.Results;

/// <summary>What one laboratory reports for a specimen.</summary>
/// <param name="Celsius">A single result, or the mean of acceptable ones, °C.</param>
/// <param name="Results">Of how many results; 1 to 1000.</param>
public sealed record LaboratoryMean(double Celsius, int Results);

/// <summary>Outcome of a comparison of two laboratories.</summary>
/// <param name="Agree">Whether they agree.</param>
/// <param name="DifferenceCelsius">Their difference, °C; 0 or above.</param>
/// <param name="LimitCelsius">What it may be at most, °C.</param>
/// <param name="Text">What was compared and what to do.</param>
public sealed record LaboratoryComparison(bool Agree, double DifferenceCelsius, double LimitCelsius, string Text);

/// <summary>Compares two laboratories on the same specimen with the method's reproducibility (ISO 4259-2; formula: value from memory).</summary>
public static class TwoLaboratories
{
    /// <summary>Largest difference of two laboratories, °C: √(R² − r²(1 − 1/(2k₁) − 1/(2k₂))); for single results R itself.</summary>
    /// <param name="precision">r and R of the method; R is not below r.</param>
    /// <param name="atCelsius">Where they are read, °C: the mean of the two laboratories.</param>
    /// <param name="firstResults">k₁; at least 1.</param>
    /// <param name="secondResults">k₂; at least 1.</param>
    /// <param name="material">What was tested, in the words of the method; null for what it does not name.</param>
    /// <exception cref="ArgumentException">The method states no precision there; a number of results is below 1; R is below r.</exception>
    public static double LimitCelsius(Precision precision, double atCelsius, int firstResults, int secondResults, string? material = null)
    {
        ArgumentNullException.ThrowIfNull(precision);
        ArgumentOutOfRangeException.ThrowIfLessThan(firstResults, 1);
        ArgumentOutOfRangeException.ThrowIfLessThan(secondResults, 1);
        if (precision.RepeatabilityAt(atCelsius, material) is not { } r || precision.ReproducibilityAt(atCelsius, material) is not { } limit)
        {
            throw new ArgumentException($"The method states no precision at {Duplicates.Show(atCelsius)}.", nameof(precision));
        }

        ArgumentOutOfRangeException.ThrowIfLessThan(limit, r);
        return Math.Sqrt((limit * limit) - (r * r * (1 - (0.5 / firstResults) - (0.5 / secondResults))));
    }

    /// <summary>Compares what two laboratories report.</summary>
    /// <param name="first">One laboratory.</param>
    /// <param name="second">The other.</param>
    /// <param name="precision">r and R of the method.</param>
    /// <param name="material">What was tested, in the words of the method; null for what it does not name.</param>
    /// <exception cref="ArgumentException">A figure is no number, or the method states no precision there.</exception>
    public static LaboratoryComparison Compare(LaboratoryMean first, LaboratoryMean second, Precision precision, string? material = null)
    {
        ArgumentNullException.ThrowIfNull(first);
        ArgumentNullException.ThrowIfNull(second);
        var difference = Math.Abs(first.Celsius - second.Celsius);
        if (!double.IsFinite(difference))
        {
            throw new ArgumentException("a result is no finite number", nameof(first));
        }

        var limit = LimitCelsius(precision, (first.Celsius + second.Celsius) / 2, first.Results, second.Results, material);
        var compared = $"{Said(first)} and {Said(second)} differ by {Duplicates.Show(difference)} (limit {Duplicates.Show(limit)})";
        return Duplicates.Within(difference, limit)
            ? new(true, difference, limit, $"{compared}: the two laboratories agree.")
            : new(false, difference, limit, $"{compared}: both are suspect. Each laboratory makes at least three further acceptable determinations on the same specimen and the means are compared, whose limit is narrower.");
    }

    private static string Said(LaboratoryMean mean) => mean.Results == 1 ? Duplicates.Show(mean.Celsius) : $"{Duplicates.Show(mean.Celsius)} (mean of {mean.Results})";
}
