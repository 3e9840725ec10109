using System.Text.Json.Serialization;

namespace Acquire.Core.Runs;

/// <summary>What an equilibrium run remembers: the temperature that is set, the portion in the cup, the tests so far. Part of its snapshot.</summary>
internal sealed class PortionLedger
{
    /// <summary>The set temperature, °C; null before the first reading.</summary>
    public double? SetCelsius { get; set; }

    /// <summary>Since when the block keeps it, s; null while it does not.</summary>
    public double? SteadySince { get; set; }

    /// <summary>The portion in the cup; null for none.</summary>
    public PortionInCup? Portion { get; set; }

    /// <summary>The tests so far.</summary>
    public List<PortionTest> Tests { get; set; } = [];

    /// <summary>Why the search has ended; null while it goes on.</summary>
    public SearchWish? Ended { get; set; }

    /// <summary>The test that decided; null while none has.</summary>
    public PortionTest? Decisive { get; set; }

    /// <summary>The flame that is over the cup, before it has been counted as an application, s.</summary>
    public double? PendingFlameAt { get; set; }

    /// <summary>The application that is being judged: when it began, and the temperature then.</summary>
    public FlameOverCup? Flame { get; set; }

    /// <summary>Numbers are not used twice, whatever became of a portion.</summary>
    public int Charged { get; set; }
}

/// <summary>A portion in the cup.</summary>
internal sealed class PortionInCup
{
    /// <summary>Which portion, from 1.</summary>
    public required int Number { get; init; }

    /// <summary>When it was charged, s.</summary>
    public required double AtSeconds { get; init; }

    /// <summary>Volume, mL; null where nobody said.</summary>
    public double? Millilitres { get; init; }

    /// <summary>How long it waits, s.</summary>
    public required double WaitSeconds { get; init; }

    /// <summary>Why its test does not count, as a finding's code; null where it does.</summary>
    public string? Spoiled { get; set; }

    /// <summary>Farthest from the set temperature since it was charged, °C.</summary>
    public double WorstOffCelsius { get; set; }

    /// <summary>What speaks against its test if that counts: stated once it is made, and no more than a note where it does not count.</summary>
    public List<Acquire.Core.Results.Finding> Questions { get; set; } = [];

    /// <summary>Whether the person was asked for the application.</summary>
    public bool Prompted { get; set; }

    /// <summary>Whether the flame was applied to it.</summary>
    public bool Tested { get; set; }

    /// <summary>When it is due, s.</summary>
    [JsonIgnore]
    public double DueAt => AtSeconds + WaitSeconds;
}

/// <summary>An application under way.</summary>
/// <param name="AtSeconds">When the flame came, s.</param>
/// <param name="Celsius">Temperature as read then, °C; null where it is not known.</param>
internal sealed record FlameOverCup(double AtSeconds, double? Celsius);
