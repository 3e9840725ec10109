namespace Acquire.Core.Methods;

/// <summary>What bounds a method beside the flash point.</summary>
public sealed record ScopeRules
{
    /// <summary>Liquids thicker than these limits belong to another method; a liquid within one of them is thin enough. Null: no limit.</summary>
    public IReadOnlyList<ViscosityLimit>? ThinnerThan { get; init; }

    /// <summary>Whether suspended solids are allowed; null where the method does not say.</summary>
    public bool? SolidsAllowed { get; init; }

    /// <summary>Whether liquids that form a film under test are allowed; null where the method does not say.</summary>
    public bool? FilmFormersAllowed { get; init; }

    /// <summary>Flash points for which the stated precision was determined, °C; null where it holds in the whole scope.</summary>
    public TemperatureRange? PrecisionCelsius { get; init; }

    /// <summary>What the method is not for, in words.</summary>
    public IReadOnlyList<string>? NotFor { get; init; }
}

/// <summary>A limit of kinematic viscosity.</summary>
/// <param name="SquareMillimetresPerSecond">The viscosity is to be below this, mm²/s.</param>
/// <param name="AtCelsius">Temperature at which it is measured, °C.</param>
public sealed record ViscosityLimit(double SquareMillimetresPerSecond, double AtCelsius);
