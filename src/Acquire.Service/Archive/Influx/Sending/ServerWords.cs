using System.Globalization;
using System.Text.Json;
using Acquire.Service.Archive.Influx.Keeping;

namespace Acquire.Service.Archive.Influx.Sending;

/// <summary>The sentence in the body of an answer: `message` of version 2, `error` of version 1, or the body itself; on one line and bounded.</summary>
internal static class ServerWords
{
    public static string Of(string body)
    {
        var words = Sentence(body) ?? body;
        var line = string.Join(' ', words.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries));
        line = string.Concat(line.Where(character => !char.IsControl(character)));
        return line.Length <= SetAside.LongestWords ? line : string.Concat(line.AsSpan(0, SetAside.LongestWords - 3), "...");
    }

    /// <summary>How many points the server says that it dropped (`dropped=12`); 0 where it does not say.</summary>
    public static long Dropped(string words)
    {
        const string Said = "dropped=";
        var at = words.LastIndexOf(Said, StringComparison.Ordinal);
        var digits = at < 0 ? [] : words.AsSpan(at + Said.Length);
        var end = digits.IndexOfAnyExceptInRange('0', '9');
        return long.TryParse(end < 0 ? digits : digits[..end], NumberStyles.None, CultureInfo.InvariantCulture, out var dropped) ? dropped : 0;
    }

    private static string? Sentence(string body)
    {
        try
        {
            using var json = JsonDocument.Parse(body);
            return json.RootElement.ValueKind != JsonValueKind.Object ? null
                : json.RootElement.TryGetProperty("message", out var message) && message.ValueKind == JsonValueKind.String ? message.GetString()
                : json.RootElement.TryGetProperty("error", out var error) && error.ValueKind == JsonValueKind.String ? error.GetString()
                : null;
        }
        catch (JsonException)
        {
            return null;
        }
        catch (InvalidOperationException)
        {
            return null; // half a surrogate pair: no text
        }
    }
}
