namespace Acquire.Simulator;

/// <summary>What a specimen of known liquids really is. Temperatures are its own, without the thermometer's lag, °C.</summary>
public sealed record SpecimenTruth
{
    /// <summary>Its liquids.</summary>
    public required IReadOnlyList<SpecimenPartTruth> Parts { get; init; }

    /// <summary>Temperature of the fresh specimen at which its vapour reaches its limit at the flame, at standard pressure, °C.</summary>
    public required double FlashCelsius { get; init; }

    /// <summary>The same at the station's pressure, °C.</summary>
    public required double FlashAtStationCelsius { get; init; }

    /// <summary>Ratio of vapour to its limit from which it keeps burning: an assumption; null where no fire can come.</summary>
    public required double? FireRatioAssumed { get; init; }
}

/// <summary>One liquid of a specimen.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Cas">CAS registry number.</param>
/// <param name="MoleFraction">As charged.</param>
/// <param name="MoleFractionAtEnd">In the cup at the end of the record: light ends leave an open cup.</param>
public sealed record SpecimenPartTruth(string Name, string Cas, double MoleFraction, double MoleFractionAtEnd);
