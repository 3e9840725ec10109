namespace Acquire.Core.Methods;

/// <summary>Linear correction to standard pressure: corrected = observed + coefficient × (standard − station).</summary>
public sealed record BarometricRule
{
    /// <summary>°C per kPa.</summary>
    public required double CoefficientCelsiusPerKilopascal { get; init; }

    /// <summary>Pressure that results are stated at, kPa.</summary>
    public required double StandardKilopascals { get; init; }

    /// <summary>Station pressures for which the standard states the correction to be strictly correct, kPa.</summary>
    public required ValueRange StrictKilopascals { get; init; }
}

/// <summary>How a tie between two multiples of the step is settled.</summary>
public enum TieRule
{
    /// <summary>To the even multiple (ISO 80000-1, annex B, rule A).</summary>
    HalfToEven,

    /// <summary>Away from zero.</summary>
    HalfAwayFromZero,
}

/// <summary>How the corrected figure is rounded for the report.</summary>
/// <param name="StepCelsius">Reported values are multiples of this, °C, above 0.</param>
/// <param name="Ties">How a tie is settled.</param>
public sealed record RoundingRule(double StepCelsius, TieRule Ties);
