using System.Globalization;

namespace Acquire.Core.Methods;

/// <summary>Parts of a method that are different where the expected flash point lies in a range.</summary>
public sealed record MethodVariant
{
    /// <summary>Holds from this expected flash point on, °C; null: no lower end, or <see cref="ExpectedAboveCelsius"/>.</summary>
    public double? ExpectedFromCelsius { get; init; }

    /// <summary>Holds above this expected flash point, °C; null: no lower end, or <see cref="ExpectedFromCelsius"/>.</summary>
    public double? ExpectedAboveCelsius { get; init; }

    /// <summary>Holds up to this expected flash point, °C, included; null: no upper end, or <see cref="ExpectedBelowCelsius"/>.</summary>
    public double? ExpectedUpToCelsius { get; init; }

    /// <summary>Holds below this expected flash point, °C; null: no upper end, or <see cref="ExpectedUpToCelsius"/>.</summary>
    public double? ExpectedBelowCelsius { get; init; }

    /// <summary>The ramp there; null: the method's own.</summary>
    public RampRules? Ramp { get; init; }

    /// <summary>The applications there; null: the method's own.</summary>
    public ApplicationRules? Applications { get; init; }

    /// <summary>The precision of the flash point there; null: the method's own.</summary>
    public Precision? FlashPrecision { get; init; }

    /// <summary>The limits for judging a record there; null: the method's own.</summary>
    public JudgementRules? Judgement { get; init; }

    /// <summary>Whether the variant holds for an expected flash point, °C.</summary>
    public bool Holds(double expectedFlashCelsius) =>
        !(expectedFlashCelsius < ExpectedFromCelsius) && !(expectedFlashCelsius <= ExpectedAboveCelsius)
        && !(expectedFlashCelsius > ExpectedUpToCelsius) && !(expectedFlashCelsius >= ExpectedBelowCelsius);

    /// <summary>The expected flash points it holds for, in words such as `above 110 °C`.</summary>
    internal string Range
    {
        get
        {
            var lower = ExpectedFromCelsius is { } from ? string.Create(CultureInfo.InvariantCulture, $"from {from:0.#}")
                : ExpectedAboveCelsius is { } above ? string.Create(CultureInfo.InvariantCulture, $"above {above:0.#}") : null;
            var upper = ExpectedUpToCelsius is { } upTo ? string.Create(CultureInfo.InvariantCulture, $"up to {upTo:0.#}")
                : ExpectedBelowCelsius is { } below ? string.Create(CultureInfo.InvariantCulture, $"below {below:0.#}") : null;
            return string.Join(' ', new[] { lower, upper }.OfType<string>()) + " °C";
        }
    }

    /// <summary>The expected flash points it leaves to others, in words such as `up to 110 °C`.</summary>
    internal string Rest => this switch
    {
        { ExpectedFromCelsius: { } from, ExpectedUpToCelsius: null, ExpectedBelowCelsius: null } => string.Create(CultureInfo.InvariantCulture, $"below {from:0.#} °C"),
        { ExpectedAboveCelsius: { } above, ExpectedUpToCelsius: null, ExpectedBelowCelsius: null } => string.Create(CultureInfo.InvariantCulture, $"up to {above:0.#} °C"),
        { ExpectedUpToCelsius: { } upTo, ExpectedFromCelsius: null, ExpectedAboveCelsius: null } => string.Create(CultureInfo.InvariantCulture, $"above {upTo:0.#} °C"),
        { ExpectedBelowCelsius: { } below, ExpectedFromCelsius: null, ExpectedAboveCelsius: null } => string.Create(CultureInfo.InvariantCulture, $"from {below:0.#} °C"),
        _ => $"not {Range}",
    };

    /// <summary>Whether some expected flash point belongs to both variants.</summary>
    public bool Overlaps(MethodVariant other)
    {
        ArgumentNullException.ThrowIfNull(other);
        var (from, fromIn) = Lower is var mine && mine.CompareTo(other.Lower) >= 0 ? mine : other.Lower;
        var (to, toOut) = Upper is var top && top.CompareTo(other.Upper) <= 0 ? top : other.Upper;
        return from < to || (from == to && fromIn == 0 && toOut == 1);
    }

    // The second figure orders ends at the same temperature: a lower end that is left out lies above one that is included, an upper end that is left out below.
    private (double Celsius, int Left) Lower => ExpectedAboveCelsius is { } above ? (above, 1) : (ExpectedFromCelsius ?? double.NegativeInfinity, 0);

    private (double Celsius, int Kept) Upper => ExpectedBelowCelsius is { } below ? (below, 0) : (ExpectedUpToCelsius ?? double.PositiveInfinity, 1);
}
