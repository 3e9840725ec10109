namespace Acquire.Core.Results;

/// <summary>What is known about how an input scatters (JCGM 100:2008, 4.2 and 4.3).</summary>
public enum ContributionDistribution
{
    /// <summary>An expanded uncertainty with its coverage factor, as on a certificate.</summary>
    Normal,

    /// <summary>Limits, and any value between them as likely as another.</summary>
    Rectangular,

    /// <summary>Limits, and values near the middle more likely.</summary>
    Triangular,

    /// <summary>A standard deviation.</summary>
    Standard,
}

/// <summary>One line of an uncertainty budget. Made by the four functions that name its distribution.</summary>
public sealed record Contribution
{
    private Contribution(string name, double value, string unit, ContributionDistribution distribution, double divisor, string source)
    {
        (Name, Value, Unit, Distribution, Divisor, Source) = (name, value, unit, distribution, divisor, source);
        ArgumentOutOfRangeException.ThrowIfNegative(value);
        if (!double.IsFinite(value))
        {
            throw new ArgumentOutOfRangeException(nameof(value), value, "not a finite number");
        }
    }

    /// <summary>What contributes, in a few words.</summary>
    public string Name { get; }

    /// <summary>Expanded uncertainty, half-width or standard deviation, in <see cref="Unit"/>; 0 or above.</summary>
    public double Value { get; }

    /// <summary>Unit of <see cref="Value"/>.</summary>
    public string Unit { get; }

    /// <summary>How to read <see cref="Value"/>.</summary>
    public ContributionDistribution Distribution { get; }

    /// <summary>What <see cref="Value"/> is divided by for a standard uncertainty.</summary>
    public double Divisor { get; }

    /// <summary>Change of the result with the input, °C per <see cref="Unit"/>; of either sign.</summary>
    public double Sensitivity { get; init; } = 1;

    /// <summary>Degrees of freedom, at least 1; null where nothing limits them: limits count as certain (JCGM 100:2008, G.4.3).</summary>
    public double? DegreesOfFreedom { get; init; }

    /// <summary>One sentence: where the figure comes from.</summary>
    public string Source { get; }

    /// <summary>Standard uncertainty it brings to the result, °C.</summary>
    public double StandardCelsius => Math.Abs(Sensitivity) * Value / Divisor;

    /// <summary>An expanded uncertainty with its coverage factor.</summary>
    /// <param name="name">What contributes.</param>
    /// <param name="expanded">Expanded uncertainty, in <paramref name="unit"/>.</param>
    /// <param name="coverageFactor">Its coverage factor; above 0.</param>
    /// <param name="unit">Its unit.</param>
    /// <param name="source">Where it comes from.</param>
    public static Contribution Normal(string name, double expanded, double coverageFactor, string unit, string source)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(coverageFactor);
        return new(name, expanded, unit, ContributionDistribution.Normal, coverageFactor, source);
    }

    /// <summary>Limits ± a half-width, each value as likely (JCGM 100:2008, 4.3.7).</summary>
    /// <param name="name">What contributes.</param>
    /// <param name="halfWidth">Half the distance of the limits, in <paramref name="unit"/>.</param>
    /// <param name="unit">Its unit.</param>
    /// <param name="source">Where it comes from.</param>
    public static Contribution Rectangular(string name, double halfWidth, string unit, string source) =>
        new(name, halfWidth, unit, ContributionDistribution.Rectangular, Math.Sqrt(3), source);

    /// <summary>Limits ± a half-width, values near the middle more likely (JCGM 100:2008, 4.3.9).</summary>
    /// <param name="name">What contributes.</param>
    /// <param name="halfWidth">Half the distance of the limits, in <paramref name="unit"/>.</param>
    /// <param name="unit">Its unit.</param>
    /// <param name="source">Where it comes from.</param>
    public static Contribution Triangular(string name, double halfWidth, string unit, string source) =>
        new(name, halfWidth, unit, ContributionDistribution.Triangular, Math.Sqrt(6), source);

    /// <summary>A standard deviation.</summary>
    /// <param name="name">What contributes.</param>
    /// <param name="deviation">Standard deviation, in <paramref name="unit"/>.</param>
    /// <param name="unit">Its unit.</param>
    /// <param name="source">Where it comes from.</param>
    public static Contribution Standard(string name, double deviation, string unit, string source) =>
        new(name, deviation, unit, ContributionDistribution.Standard, 1, source);
}
