using Acquire.Core.Results;

namespace Acquire.Service.Archive;

/// <summary>Which runs are asked for. Everything that is said must hold; what is null does not matter. What was corrected counts as it stands now.</summary>
public sealed record RunFilter
{
    /// <summary>Most runs in one answer.</summary>
    public const int MostRuns = 10_000;

    /// <summary>Tester that made them.</summary>
    public string? TesterId { get; init; }

    /// <summary>Text that the name of the specimen contains; capital or small is the same.</summary>
    public string? Specimen { get; init; }

    /// <summary>Method.</summary>
    public string? MethodId { get; init; }

    /// <summary>Verdict.</summary>
    public Verdict? Verdict { get; init; }

    /// <summary>How they stand.</summary>
    public RunStanding? Standing { get; init; }

    /// <summary>Begun then or later.</summary>
    public DateTimeOffset? StartedFrom { get; init; }

    /// <summary>Begun earlier than that.</summary>
    public DateTimeOffset? StartedBefore { get; init; }

    /// <summary>Ended earlier than that, by a close or by an interruption.</summary>
    public DateTimeOffset? EndedBefore { get; init; }

    /// <summary>Reported flash point not below this, °C.</summary>
    public double? FlashFromCelsius { get; init; }

    /// <summary>Reported flash point not above this, °C.</summary>
    public double? FlashToCelsius { get; init; }

    /// <summary>Reported fire point not below this, °C.</summary>
    public double? FireFromCelsius { get; init; }

    /// <summary>Reported fire point not above this, °C.</summary>
    public double? FireToCelsius { get; init; }

    /// <summary>Those behind this run in the list, by its id: how the next page is asked for.</summary>
    public string? After { get; init; }

    /// <summary>At most so many, 1 to 10,000.</summary>
    public int Limit { get; init; } = MostRuns;
}

/// <summary>How a run stands.</summary>
public enum RunStanding
{
    /// <summary>It goes on.</summary>
    Open,

    /// <summary>It was closed, with a result.</summary>
    Closed,

    /// <summary>Nobody closed it.</summary>
    Interrupted,
}
