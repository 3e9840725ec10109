using System.Globalization;
using System.Text;
using System.Text.Json;

namespace Acquire.Core.Methods.Reading;

/// <summary>Finds the line of a file on which a key stands.</summary>
internal static class MethodLines
{
    /// <summary>The mistakes with the line of their key; where the key is missing, that of what should hold it.</summary>
    public static IReadOnlyList<InputError> Number(byte[] json, IReadOnlyList<InputError> errors)
    {
        var starts = Starts(json);
        return [.. errors.Select(error => Line(starts, error.Path) is { } line
            ? error with { Message = string.Create(CultureInfo.InvariantCulture, $"{error.Message} (line {line})") }
            : error)];
    }

    private static int? Line(Dictionary<string, int> starts, string path)
    {
        for (var at = path; at.Length > 0; at = at[..Math.Max(0, Math.Max(at.LastIndexOf('.'), at.LastIndexOf('[')))])
        {
            if (starts.TryGetValue(at, out var line))
            {
                return line;
            }
        }

        return null;
    }

    // The line of every key and list entry, from 1.
    private static Dictionary<string, int> Starts(byte[] json)
    {
        var starts = new Dictionary<string, int>(StringComparer.Ordinal);
        var places = new Stack<(string Path, int Index)>();
        var reader = new Utf8JsonReader(json);
        string? key = null;
        int line = 1, counted = 0;
        while (reader.Read())
        {
            line += json.AsSpan(counted..(int)reader.TokenStartIndex).Count((byte)'\n');
            counted = (int)reader.TokenStartIndex;
            if (reader.TokenType == JsonTokenType.PropertyName)
            {
                var name = Encoding.UTF8.GetString(reader.ValueSpan);
                key = places.Peek().Path is { Length: > 0 } above ? $"{above}.{name}" : name;
                starts.TryAdd(key, line);
                continue;
            }

            if (reader.TokenType is JsonTokenType.EndObject or JsonTokenType.EndArray)
            {
                places.Pop();
                continue;
            }

            var path = key ?? Entry(places);
            key = null;
            starts.TryAdd(path, line);
            if (reader.TokenType is JsonTokenType.StartObject or JsonTokenType.StartArray)
            {
                places.Push((path, 0));
            }
        }

        return starts;
    }

    private static string Entry(Stack<(string Path, int Index)> places)
    {
        if (!places.TryPop(out var list))
        {
            return "";
        }

        places.Push(list with { Index = list.Index + 1 });
        return MethodErrors.Entry(list.Path, list.Index);
    }
}
