using System.Text.Json;
using System.Text.Json.Serialization;

namespace Acquire.Service.Live;

/// <summary>How everything is written on the service's own wire: camelCase names, kebab-case words for enumerations, finite numbers only.</summary>
public static class LiveJson
{
    /// <summary>Options for answers and hub messages.</summary>
    public static JsonSerializerOptions Options { get; } = Create();

    /// <summary>Applies the same rules to options that a framework made.</summary>
    public static void Apply(JsonSerializerOptions options)
    {
        ArgumentNullException.ThrowIfNull(options);
        options.PropertyNamingPolicy = JsonNamingPolicy.CamelCase;
        options.NumberHandling = JsonNumberHandling.Strict;
        options.Converters.Add(new JsonStringEnumConverter(JsonNamingPolicy.KebabCaseLower, allowIntegerValues: false));
    }

    private static JsonSerializerOptions Create()
    {
        var options = new JsonSerializerOptions();
        Apply(options);
        options.MakeReadOnly(populateMissingResolver: true);
        return options;
    }
}
