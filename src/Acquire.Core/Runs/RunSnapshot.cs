using System.Text.Json;
using System.Text.Json.Serialization;

namespace Acquire.Core.Runs;

/// <summary>A run's state as text, to be kept and taken up again.</summary>
public static class RunSnapshot
{
    private static readonly JsonSerializerOptions Options = new()
    {
        NumberHandling = JsonNumberHandling.AllowNamedFloatingPointLiterals,
        IncludeFields = true,
    };

    /// <summary>Writes the state. Every number keeps all its bits.</summary>
    public static string Save(RunState state) => JsonSerializer.Serialize(state, Options);

    /// <summary>Reads a state back.</summary>
    /// <exception cref="JsonException">The text is not a state that <see cref="Save"/> wrote.</exception>
    public static RunState Load(string text) =>
        JsonSerializer.Deserialize<RunState>(text, Options) ?? throw new JsonException("The snapshot holds null.");
}
