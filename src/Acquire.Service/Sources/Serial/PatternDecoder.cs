using System.Text;
using System.Text.RegularExpressions;
using Acquire.Core;
using Acquire.Service.Configuration;
using Acquire.Service.Configuration.Parsing;

namespace Acquire.Service.Sources.Serial;

/// <summary>Reads the named groups of a line that matches a regular expression as a whole.</summary>
/// <param name="layout">Expression and groups.</param>
/// <param name="decimalSeparator">Point or comma.</param>
internal sealed class PatternDecoder(LineLayout.Pattern layout, char decimalSeparator)
{
    private readonly GroupConfig[] _groups = [.. layout.Groups];

    /// <summary>Reads a line.</summary>
    /// <returns>Null where it was right, else the place, what it held and what is allowed.</returns>
    public InputError? Read(ReadOnlySpan<byte> line, ref RowDraft draft)
    {
        // One character for each byte, so that places in the text are places in the line.
        var match = Match(Encoding.Latin1.GetString(line));
        if (match is not { Success: true })
        {
            return new("line", $"given \"{NumberText.Shown(line)}\"; allowed: a line that matches the pattern as a whole");
        }

        foreach (var wanted in _groups)
        {
            var group = match.Groups[wanted.Name];

            // A group that took no part, or took nothing, is a reading that was not made; only a row's own time cannot be left out.
            if (wanted.Channel == ReadingChannel.Ignore || (group.Length == 0 && wanted.Channel != ReadingChannel.Time))
            {
                continue;
            }

            var text = group.Success ? line.Slice(group.Index, group.Length).Trim(" \t"u8) : [];
            if (draft.TakeText(wanted.Channel, wanted.Unit, text, decimalSeparator) is { } mistake)
            {
                return new($"group {wanted.Name} ({ChannelReader.Word(wanted.Channel)})", mistake);
            }
        }

        return null;
    }

    private Match? Match(string text)
    {
        try
        {
            return layout.Expression.Match(text);
        }
        catch (RegexMatchTimeoutException)
        {
            return null;
        }
    }
}
