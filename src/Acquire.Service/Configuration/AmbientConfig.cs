using System.Text.Json;

namespace Acquire.Service.Configuration;

/// <summary>One source of what testers of a room share: its barometer, its temperature, its air.</summary>
public sealed record AmbientConfig
{
    /// <summary>Unique id, among the testers too: lower-case letters, digits, hyphens; 1 to 40 characters.</summary>
    public required string Id { get; init; }

    /// <summary>Name for people; 1 to 80 characters.</summary>
    public required string Name { get; init; }

    /// <summary>Age at which a reading is no longer used, s; 1 to 3600.</summary>
    public required double StaleAfterSeconds { get; init; }

    /// <summary>Where the readings come from; at least one of pressure, ambient and air.</summary>
    public required SourceConfig Source { get; init; }

    /// <summary>The source as it is written; nothing where it was not read from a file. Never printed: it may hold passwords.</summary>
    internal JsonElement Written { get; init; }

    /// <summary>Whether another version of the file says the same of it.</summary>
    internal bool IsSame(AmbientConfig other) => JsonElement.DeepEquals(Written, other.Written);
}
