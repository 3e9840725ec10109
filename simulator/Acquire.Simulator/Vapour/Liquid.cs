namespace Acquire.Simulator;

/// <summary>What kind of molecule a liquid is of. Liquids of one kind mix ideally, near enough.</summary>
public enum LiquidKind
{
    /// <summary>Carbon and hydrogen only.</summary>
    Hydrocarbon,

    /// <summary>An alcohol.</summary>
    Alcohol,

    /// <summary>Water: it does not burn.</summary>
    Water,
}

/// <summary>A pure liquid that a simulated specimen can be made of.</summary>
/// <param name="Name">Its name in options, such as n-decane.</param>
/// <param name="Cas">CAS registry number.</param>
/// <param name="Kind">What kind of molecule it is of.</param>
/// <param name="GramsPerMole">Molar mass, g/mol.</param>
/// <param name="BoilingCelsius">Published normal boiling point, °C: to check the equation with, never used in the simulation.</param>
/// <param name="VapourPressure">Its vapour pressure.</param>
/// <param name="Limit">Where its vapour begins to burn in air; null for water.</param>
/// <param name="PublishedFlash">A published closed-cup flash point: to check the result with, never used in the simulation; null where none is known.</param>
public sealed record Liquid(
    string Name,
    string Cas,
    LiquidKind Kind,
    double GramsPerMole,
    double BoilingCelsius,
    VapourPressure VapourPressure,
    LowerLimit? Limit,
    PublishedFlash? PublishedFlash);

/// <summary>A published closed-cup flash point.</summary>
/// <param name="Celsius">°C.</param>
/// <param name="Source">Where it was published.</param>
public sealed record PublishedFlash(double Celsius, string Source);
