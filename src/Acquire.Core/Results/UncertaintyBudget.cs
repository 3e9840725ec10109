namespace Acquire.Core.Results;

/// <summary>One line of a budget with its part of the whole.</summary>
/// <param name="Contribution">The line.</param>
/// <param name="SharePercent">Its part of the combined variance, %; the parts of a budget add up to 100.</param>
public sealed record BudgetLine(Contribution Contribution, double SharePercent);

/// <summary>Contributions that do not depend on each other, combined by JCGM 100:2008 (GUM).</summary>
public sealed class UncertaintyBudget
{
    /// <summary>Combines contributions.</summary>
    /// <param name="contributions">The lines, in the order of the table; at least one.</param>
    /// <exception cref="ArgumentException">There is no line, or one with fewer than one degree of freedom.</exception>
    public UncertaintyBudget(IReadOnlyList<Contribution> contributions)
    {
        ArgumentNullException.ThrowIfNull(contributions);
        if (contributions.Count == 0)
        {
            throw new ArgumentException("a budget has at least one line", nameof(contributions));
        }

        if (contributions.Any(line => line.DegreesOfFreedom is { } degrees && !(degrees >= 1) || !double.IsFinite(line.StandardCelsius)))
        {
            throw new ArgumentException("a line has fewer than one degree of freedom, or no finite uncertainty", nameof(contributions));
        }

        var variance = contributions.Sum(line => Square(line.StandardCelsius));
        CombinedCelsius = Math.Sqrt(variance);
        EffectiveDegreesOfFreedom = Effective(contributions, variance);
        CoverageFactor = Results.CoverageFactor.For(EffectiveDegreesOfFreedom);
        Lines = [.. contributions.Select(line => new BudgetLine(line, variance > 0 ? 100 * Square(line.StandardCelsius) / variance : 0))];
    }

    /// <summary>The lines with their shares.</summary>
    public IReadOnlyList<BudgetLine> Lines { get; }

    /// <summary>Combined standard uncertainty, °C (5.1.2).</summary>
    public double CombinedCelsius { get; }

    /// <summary>Effective degrees of freedom by Welch and Satterthwaite (G.4.1); null where nothing limits them.</summary>
    public double? EffectiveDegreesOfFreedom { get; }

    /// <summary>Coverage factor for 95 %, from Student's t with the effective degrees of freedom (G.6.4).</summary>
    public double CoverageFactor { get; }

    /// <summary>Expanded uncertainty for 95 %, °C.</summary>
    public double ExpandedCelsius => CoverageFactor * CombinedCelsius;

    /// <summary>Expanded uncertainty with a coverage factor that a laboratory has agreed on, such as 2 (6.3.3), °C.</summary>
    /// <param name="coverageFactor">The factor.</param>
    public double Expanded(double coverageFactor) => coverageFactor * CombinedCelsius;

    // A zero limit gives no term: its degrees of freedom limit nothing.
    private static double? Effective(IReadOnlyList<Contribution> contributions, double variance)
    {
        var terms = contributions.Sum(line => line.DegreesOfFreedom is { } degrees && line.StandardCelsius > 0 ? Square(Square(line.StandardCelsius) / variance) / degrees : 0);
        // Rounding must not take it below what the terms themselves have.
        return terms > 0 ? Math.Max(1, 1 / terms) : null;
    }

    private static double Square(double value) => value * value;
}
