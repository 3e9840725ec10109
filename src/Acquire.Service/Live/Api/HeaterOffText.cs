using System.Text.Json;

namespace Acquire.Service.Live.Api;

/// <summary>Finds in any body whether it wants the heater off: that must not fail for what else is wrong with it.</summary>
internal static class HeaterOffText
{
    private static readonly JsonReaderOptions Lenient = new() { AllowTrailingCommas = true, CommentHandling = JsonCommentHandling.Skip };

    /// <summary>Whether "on":false stands in the outermost object, up to where the body can be read.</summary>
    /// <param name="utf8">The body, or what came of it.</param>
    /// <param name="person">The text that stands for the person, if any, as it came; null where none does.</param>
    public static bool TryFind(ReadOnlySpan<byte> utf8, out string? person)
    {
        var found = false;
        person = null;
        try
        {
            var mark = "\uFEFF"u8;
            var reader = new Utf8JsonReader(utf8.StartsWith(mark) ? utf8[mark.Length..] : utf8, isFinalBlock: false, new JsonReaderState(Lenient));
            while (reader.Read())
            {
                if (reader.TokenType != JsonTokenType.PropertyName || reader.CurrentDepth != 1)
                {
                    continue;
                }

                var name = reader.GetString();
                if (!reader.Read())
                {
                    break;
                }

                found |= string.Equals(name, "on", StringComparison.OrdinalIgnoreCase) && reader.TokenType == JsonTokenType.False;
                person = string.Equals(name, "person", StringComparison.OrdinalIgnoreCase) && reader.TokenType == JsonTokenType.String ? reader.GetString() : person;
            }
        }
        catch (Exception exception) when (exception is JsonException or InvalidOperationException)
        {
            // Damaged from here on, or a text that is no UTF-8: what was read before it stands.
            return found;
        }

        return found;
    }
}
