namespace Acquire.Core.Runs;

/// <summary>What a test portion did when the flame was applied to it.</summary>
public enum PortionOutcome
{
    /// <summary>Nothing that counts as a flash.</summary>
    NoFlash,

    /// <summary>A bluish halo round the test flame: no flash.</summary>
    Halo,

    /// <summary>It flashed, or burned.</summary>
    Flash,

    /// <summary>It cannot be told: neither clearly a flash nor clearly none.</summary>
    Uncertain,
}

/// <summary>One test of an equilibrium procedure: a fresh test portion at a fixed temperature, and one application.</summary>
/// <param name="Number">From 1.</param>
/// <param name="SetCelsius">Temperature that the block was to have, °C.</param>
/// <param name="Millilitres">Volume charged, mL; null where nobody said.</param>
/// <param name="ChargedSeconds">When it was charged, s.</param>
/// <param name="AppliedSeconds">When the flame was applied, s.</param>
/// <param name="AppliedCelsius">Temperature as read then, °C; null where the thermometer gave no reading near it.</param>
/// <param name="Outcome">What was seen.</param>
/// <param name="Spoiled">Why it does not count, as a finding's code; null where it counts.</param>
public sealed record PortionTest(
    int Number,
    double SetCelsius,
    double? Millilitres,
    double ChargedSeconds,
    double AppliedSeconds,
    double? AppliedCelsius,
    PortionOutcome Outcome,
    string? Spoiled)
{
    /// <summary>Whether it flashed.</summary>
    public bool Flashed => Outcome == PortionOutcome.Flash;

    /// <summary>Whether the search takes it into account.</summary>
    public bool Counts => Spoiled is null;
}
