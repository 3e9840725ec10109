using System.Diagnostics.CodeAnalysis;
using System.Text;
using System.Text.Json;
using Acquire.Core;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Opens the text of a file whose outermost value is an object, and closes it again with every mistake that was found.</summary>
internal static class StrictJson
{
    private static readonly JsonDocumentOptions Options = new() { CommentHandling = JsonCommentHandling.Skip, AllowTrailingCommas = true };

    /// <summary>Reads a text; comments and trailing commas are allowed.</summary>
    /// <param name="json">The text.</param>
    /// <param name="read">Reads the outermost object; what it answers after a mistake is thrown away.</param>
    /// <param name="value">What the text says; null after a mistake.</param>
    /// <param name="errors">Every mistake, with its key and what is allowed.</param>
    public static bool TryParse<T>(string json, Func<ConfigObject, T> read, [NotNullWhen(true)] out T? value, out IReadOnlyList<InputError> errors)
        where T : class
    {
        value = null;
        try
        {
            using var document = JsonDocument.Parse(Encoding.UTF8.GetBytes(json), Options);
            if (document.RootElement.ValueKind != JsonValueKind.Object)
            {
                errors = [new("$", $"given {JsonText.Shown(document.RootElement)}; allowed: an object")];
                return false;
            }

            var found = new List<InputError>();
            var answer = read(new ConfigObject(document.RootElement, "", found));
            errors = found;
            value = found.Count == 0 ? answer : null;
            return value is not null;
        }
        catch (JsonException exception)
        {
            var cut = exception.Message.IndexOf(" LineNumber:", StringComparison.Ordinal);
            errors = [new($"line {exception.LineNumber + 1}", $"this is not JSON: {(cut > 0 ? exception.Message[..cut] : exception.Message)}")];
            return false;
        }
    }
}
