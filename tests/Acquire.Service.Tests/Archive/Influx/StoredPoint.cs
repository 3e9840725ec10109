using System.Globalization;
using System.Text;

namespace Acquire.Service.Tests.Archive.Influx;

/// <summary>One line of line protocol, read by the rules of its description and by nothing of the service.</summary>
/// <param name="Series">Measurement and tags, tags in order.</param>
/// <param name="Nanoseconds">Timestamp.</param>
/// <param name="Fields">Fields as they are written.</param>
internal sealed record StoredPoint(string Series, long Nanoseconds, IReadOnlyDictionary<string, string> Fields)
{
    /// <summary>Its measurement.</summary>
    public string Measurement => Series.Split(',')[0];

    /// <summary>A tag's value.</summary>
    public string? Tag(string key) => Series.Split(',').Skip(1).Select(tag => tag.Split('=', 2)).FirstOrDefault(tag => tag[0] == key)?[1];

    /// <summary>A number.</summary>
    public double Number(string key) => double.Parse(Fields[key], CultureInfo.InvariantCulture);

    /// <summary>Reads a line; null where it is none.</summary>
    public static StoredPoint? Read(string line)
    {
        var parts = Cut(line, ' ', quotes: true);
        if (parts.Count != 3 || !long.TryParse(parts[2], NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out var at))
        {
            return null;
        }

        var (key, fields) = (Cut(parts[0], ',', quotes: false), new Dictionary<string, string>());
        foreach (var field in Cut(parts[1], ',', quotes: true))
        {
            var pair = field.Split('=', 2);
            if (pair.Length != 2 || pair[0].Length == 0 || !(pair[1].StartsWith('"') ? pair[1].Length > 1 && pair[1].EndsWith('"') : double.TryParse(pair[1], CultureInfo.InvariantCulture, out var value) && double.IsFinite(value)) || !fields.TryAdd(pair[0], pair[1]))
            {
                return null;
            }
        }

        return new(string.Join(',', key.Take(1).Concat(key.Skip(1).Order(StringComparer.Ordinal))), at, fields);
    }

    private static List<string> Cut(string text, char at, bool quotes)
    {
        var (parts, part, quoted) = (new List<string>(), new StringBuilder(), false);
        for (var i = 0; i < text.Length; i++)
        {
            if (text[i] == '\\' && i + 1 < text.Length)
            {
                part.Append(text[i]).Append(text[++i]);
            }
            else if (text[i] == at && !quoted)
            {
                parts.Add(part.ToString());
                part.Clear();
            }
            else
            {
                quoted ^= quotes && text[i] == '"';
                part.Append(text[i]);
            }
        }

        parts.Add(part.ToString());
        return parts;
    }
}
