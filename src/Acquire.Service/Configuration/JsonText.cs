using System.Text;
using System.Text.Json;

namespace Acquire.Service.Configuration;

/// <summary>Takes text out of JSON without trusting it: escapes of half a character are refused by the library with an exception.</summary>
internal static class JsonText
{
    private const int LongestShown = 60;

    /// <summary>A key, or null where it is not valid text.</summary>
    public static string? Name(JsonProperty property)
    {
        try
        {
            return property.Name;
        }
        catch (InvalidOperationException)
        {
            return null;
        }
    }

    /// <summary>A text value, or null where it is not valid text.</summary>
    public static string? Value(JsonElement element)
    {
        try
        {
            return element.GetString();
        }
        catch (InvalidOperationException)
        {
            return null;
        }
    }

    /// <summary>A value as somebody would recognise it in the file: short, printable, one line.</summary>
    public static string Shown(JsonElement element) => element.ValueKind switch
    {
        JsonValueKind.Object => "an object",
        JsonValueKind.Array => $"a list of {element.GetArrayLength()}",
        _ => Shown(element.GetRawText()),
    };

    /// <summary>Text from outside made short and printable, on one line.</summary>
    public static string Shown(string text)
    {
        var shown = new StringBuilder(Math.Min(text.Length, LongestShown) + 1);
        foreach (var character in text.AsSpan(0, Math.Min(text.Length, LongestShown)))
        {
            shown.Append(char.IsControl(character) || char.IsSurrogate(character) ? '?' : character);
        }

        return text.Length > LongestShown ? shown.Append('…').ToString() : shown.ToString();
    }
}
