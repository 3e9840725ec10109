namespace Acquire.Service.Configuration;

/// <summary>Stand-in until the configuration's own branch is merged.</summary>
public sealed record TesterConfig
{
    public required string Id { get; init; }

    public required string Name { get; init; }

    public int QueueCapacity { get; init; } = 4096;

    public double StaleAfterSeconds { get; init; } = 5;

    public bool HasFlameChannel { get; init; }

    public AutoStartConfig? AutoStart { get; init; }

    public string SourceText { get; init; } = "";
}

/// <summary>Stand-in until the configuration's own branch is merged.</summary>
public sealed record AutoStartConfig
{
    public required string MethodId { get; init; }

    public required double ExpectedFlashCelsius { get; init; }

    public double? StationPressureKilopascals { get; init; }

    public required string Specimen { get; init; }
}
