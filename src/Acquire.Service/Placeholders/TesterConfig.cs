using Acquire.Core.Readings;
using Acquire.Service.Live;

namespace Acquire.Service.Configuration;

/// <summary>Stand-in until the configuration's own branch is merged.</summary>
public sealed record TesterConfig
{
    public required string Id { get; init; }

    public required string Name { get; init; }

    public required int QueueCapacity { get; init; }

    public required double StaleAfterSeconds { get; init; }

    public StartRunRequest? AutoStart { get; init; }

    public required SourceConfig Source { get; init; }

    public RowChannels Channels => Source.Carried;
}

/// <summary>Stand-in until the configuration's own branch is merged.</summary>
public sealed record SourceConfig(string Description, RowChannels Carried);
