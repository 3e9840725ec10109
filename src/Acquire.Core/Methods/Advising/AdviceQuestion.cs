namespace Acquire.Core.Methods.Advising;

/// <summary>What is known about a specimen whose method is to be chosen. Instances from outside come from <see cref="AdviceQuestionReader"/>, which checks the ranges.</summary>
public sealed record AdviceQuestion
{
    /// <summary>Range of <see cref="KinematicViscosity.SquareMillimetresPerSecond"/>, mm²/s.</summary>
    public static ValueRange ViscosityRange { get; } = new(0.1, 1_000_000);

    /// <summary>Range of <see cref="KinematicViscosity.AtCelsius"/>, °C.</summary>
    public static ValueRange ViscosityAtRangeCelsius { get; } = new(-60, 200);

    /// <summary>What is in the cup.</summary>
    public required ProductKind Product { get; init; }

    /// <summary>Expected flash point, °C, -30 to 400; null where nobody knows.</summary>
    public double? ExpectedFlashCelsius { get; init; }

    /// <summary>Viscosity; null where it was not measured.</summary>
    public KinematicViscosity? Viscosity { get; init; }

    /// <summary>Whether it carries suspended solids.</summary>
    public bool Solids { get; init; }

    /// <summary>Whether it forms a film on the surface.</summary>
    public bool FilmForming { get; init; }

    // A paint that forms no film would be none; common practice, no source.
    internal bool FormsFilm => FilmForming || Product == ProductKind.Paint;

    /// <summary>Whether the fire point is wanted beside the flash point.</summary>
    public bool FirePoint { get; init; }

    /// <summary>Whether something volatile, such as fuel in a lubricant, is suspected.</summary>
    public bool VolatileContamination { get; init; }

    /// <summary>What the figure is for; null where nobody said.</summary>
    public TestPurpose? Purpose { get; init; }
}

/// <summary>A kinematic viscosity with the temperature at which it holds.</summary>
/// <param name="SquareMillimetresPerSecond">mm²/s, 0.1 to 1 000 000.</param>
/// <param name="AtCelsius">Temperature of the measurement, °C, -60 to 200.</param>
public sealed record KinematicViscosity(double SquareMillimetresPerSecond, double AtCelsius);
