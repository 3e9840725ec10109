using System.Text.Json;
using Acquire.Service.Configuration;

namespace Acquire.Service.Hosting.Reloading;

/// <summary>The keys of the file that are in force only after the next start.</summary>
internal static class GlobalKeys
{
    private static readonly string[] Followed = ["testers", "ambient", "altitudeMetres", "influx"];

    /// <summary>The keys in which two versions of a file differ, and which are not followed while the service runs.</summary>
    public static IEnumerable<string> Different(AcquireConfig running, AcquireConfig wanted)
    {
        var (before, after) = (Values(running), Values(wanted));
        return before.Keys.Union(after.Keys, StringComparer.Ordinal)
            .Where(key => !before.TryGetValue(key, out var old) || !after.TryGetValue(key, out var now) || !JsonElement.DeepEquals(old, now))
            .Order(StringComparer.Ordinal);
    }

    private static Dictionary<string, JsonElement> Values(AcquireConfig config) =>
        config.Written.EnumerateObject().Where(property => !Followed.Contains(property.Name)).ToDictionary(property => property.Name, property => property.Value, StringComparer.Ordinal);
}
