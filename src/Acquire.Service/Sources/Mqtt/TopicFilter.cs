using System.Text;

namespace Acquire.Service.Sources.Mqtt;

/// <summary>The rules of MQTT 5.0 section 4.7 for topic filters.</summary>
public static class TopicFilter
{
    /// <summary>Longest filter that is accepted, characters.</summary>
    public const int LongestCharacters = 1024;

    /// <summary>What a filter may be.</summary>
    public const string Allowed = "levels separated by /, a whole level may be +, the last may be #; up to 1024 characters";

    /// <summary>What is wrong with a filter; null where nothing is.</summary>
    public static string? Check(string filter)
    {
        ArgumentNullException.ThrowIfNull(filter);
        if (filter.Length is 0 or > LongestCharacters || Encoding.UTF8.GetByteCount(filter) > ushort.MaxValue)
        {
            return $"it has {filter.Length} characters";
        }

        if (filter.Any(character => char.IsControl(character) || char.IsSurrogate(character)))
        {
            return "it holds a character that is not allowed in a topic";
        }

        if (filter.StartsWith("$share/", StringComparison.Ordinal))
        {
            return "a shared subscription would give each reader only some of the readings";
        }

        var levels = filter.Split('/');
        for (var i = 0; i < levels.Length; i++)
        {
            if (levels[i].Length > 1 && levels[i].AsSpan().IndexOfAny('+', '#') >= 0)
            {
                return $"level {i + 1} mixes a wildcard with other characters";
            }

            if (levels[i] == "#" && i < levels.Length - 1)
            {
                return "# is not the last level";
            }
        }

        return null;
    }

    /// <summary>Whether some topic matches both filters; both must be valid.</summary>
    public static bool Overlap(string left, string right)
    {
        ArgumentNullException.ThrowIfNull(left);
        ArgumentNullException.ThrowIfNull(right);
        return Overlap(left.Split('/'), right.Split('/'), 0);
    }

    /// <summary>Whether every topic that matches <paramref name="narrow"/> matches <paramref name="wide"/> too; both must be valid.</summary>
    public static bool Covers(string wide, string narrow)
    {
        ArgumentNullException.ThrowIfNull(wide);
        ArgumentNullException.ThrowIfNull(narrow);
        var (above, below) = (wide.Split('/'), narrow.Split('/'));
        if (IsReserved(below[0]) && above[0] != below[0])
        {
            return false;
        }

        for (var level = 0; level < above.Length; level++)
        {
            if (above[level] == "#")
            {
                return true;
            }

            if (level == below.Length || below[level] == "#" || (above[level] != "+" && above[level] != below[level]))
            {
                return false;
            }
        }

        return above.Length == below.Length;
    }

    private static bool Overlap(ReadOnlySpan<string> left, ReadOnlySpan<string> right, int level)
    {
        if (left.IsEmpty || right.IsEmpty)
        {
            // "a/#" also matches "a": the number sign stands for the parent level too.
            return (left.IsEmpty && right.IsEmpty) || (left.IsEmpty ? right[0] : left[0]) == "#";
        }

        if (level == 0 && (IsReserved(left[0]) || IsReserved(right[0])))
        {
            return left[0] == right[0] && Overlap(left[1..], right[1..], 1);
        }

        return left[0] == "#" || right[0] == "#"
            || ((left[0] == "+" || right[0] == "+" || left[0] == right[0]) && Overlap(left[1..], right[1..], level + 1));
    }

    private static bool IsReserved(string level) => level.StartsWith('$');
}
