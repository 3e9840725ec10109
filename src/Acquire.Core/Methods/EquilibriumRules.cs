namespace Acquire.Core.Methods;

/// <summary>What an equilibrium procedure answers.</summary>
public enum EquilibriumAim
{
    /// <summary>Whether there is a flash at one temperature, such as that of a specification.</summary>
    FlashNoFlash,

    /// <summary>The lowest temperature, in steps, at which there is a flash.</summary>
    FlashPoint,
}

/// <summary>How test portions are brought to fixed temperatures. A fresh portion for each application.</summary>
public sealed record EquilibriumRules
{
    /// <summary>What the procedure answers.</summary>
    public required EquilibriumAim Aim { get; init; }

    /// <summary>How much is charged and how long it waits, by temperature; the first entry that fits holds.</summary>
    public required IReadOnlyList<EquilibriumCharge> Charges { get; init; }

    /// <summary>The block keeps the set temperature to within this, °C.</summary>
    public required double BlockToleranceCelsius { get; init; }

    /// <summary>It has kept it for this long before a portion is charged, s.</summary>
    public required double SteadySeconds { get; init; }

    /// <summary>The wait of a portion may be longer or shorter by this, s.</summary>
    public required double WaitToleranceSeconds { get; init; }

    /// <summary>Opening, applying and closing together, s.</summary>
    public required double ShutterSeconds { get; init; }

    /// <summary>Steps of the search, °C, wide ones first; null where one temperature is tested.</summary>
    public IReadOnlyList<double>? StepsCelsius { get; init; }

    /// <summary>A last, finer step that may be added, °C; null where there is none.</summary>
    public double? OptionalStepCelsius { get; init; }

    /// <summary>How the temperature to test at follows from a specification; null where it does not.</summary>
    public SetPointRule? SetPoint { get; init; }
}

/// <summary>What is charged and how long it waits.</summary>
public sealed record EquilibriumCharge
{
    /// <summary>Holds up to this test temperature, °C, included; null: to the end of the scope.</summary>
    public double? UpToCelsius { get; init; }

    /// <summary>Holds only for this material, in words; null: for every other.</summary>
    public string? Material { get; init; }

    /// <summary>Volume of the test portion, mL.</summary>
    public required double Millilitres { get; init; }

    /// <summary>Allowed error of that volume, mL; null where it is not stated.</summary>
    public double? ToleranceMillilitres { get; init; }

    /// <summary>Time from charging to the application, s.</summary>
    public required double WaitSeconds { get; init; }
}

/// <summary>Set point = specification − coefficient × (standard − station), to the nearest step.</summary>
public sealed record SetPointRule
{
    /// <summary>°C per kPa.</summary>
    public required double CoefficientCelsiusPerKilopascal { get; init; }

    /// <summary>Pressure that the specification is stated at, kPa.</summary>
    public required double StandardKilopascals { get; init; }

    /// <summary>The set point is a multiple of this, °C.</summary>
    public required double StepCelsius { get; init; }
}
