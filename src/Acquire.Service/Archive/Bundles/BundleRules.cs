using System.Globalization;
using System.Text.RegularExpressions;
using Acquire.Core;

namespace Acquire.Service.Archive.Bundles;

/// <summary>What a text from another archive may be.</summary>
internal static partial class BundleRules
{
    /// <summary>Most characters of a run's id.</summary>
    public const int LongestRunId = 120;

    /// <summary>Why a text cannot be the id of a run, which becomes part of file names; null where it can. No id has a dot: behind one stands which of a run's files it is, and a run must not be given those of another.</summary>
    public static string? WhyNoRunId(string text) =>
        RunId().IsMatch(text) ? null : string.Create(CultureInfo.InvariantCulture, $"is not a run's id: 1 to {LongestRunId} letters, digits, hyphens and underscores of ASCII, the first a letter or digit");

    /// <summary>Why a text cannot stand in the record; null where it can.</summary>
    public static string? WhyNoText(string text, int longest) =>
        string.IsNullOrWhiteSpace(text) || text.Length > longest ? string.Create(CultureInfo.InvariantCulture, $"has {text.Length} characters; 1 to {longest} printable ones are allowed, and not only spaces")
        : PersonName.FirstUnprintable(text) is { } position ? string.Create(CultureInfo.InvariantCulture, $"has a character at position {position + 1} that cannot be printed")
        : null;

    [GeneratedRegex(@"^[A-Za-z0-9][A-Za-z0-9_-]{0,119}\z", RegexOptions.CultureInvariant)]
    private static partial Regex RunId();
}
