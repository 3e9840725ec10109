using System.Globalization;

namespace Acquire.Service.Archive.Chain;

/// <summary>Something that a verification found wrong.</summary>
/// <param name="Run">Id of the run it is about; null where it is about none, or where the run itself is gone.</param>
/// <param name="Record">Which record, by kind and number, such as `event 12` or `chunk 3`; or what else, such as `link 40`.</param>
/// <param name="Text">What is wrong with it.</param>
public sealed record ArchiveFault(string? Run, string Record, string Text)
{
    /// <inheritdoc/>
    public override string ToString() => Run is null ? $"{Record}: {Text}" : $"run '{Run}', {Record}: {Text}";

    /// <summary>How a record is named.</summary>
    internal static string Name(RecordKind kind, long part) =>
        kind == RecordKind.Start || kind == RecordKind.Header || kind == RecordKind.Closing || kind == RecordKind.Interruption || kind == RecordKind.Pruning
            ? kind.Word
            : string.Create(CultureInfo.InvariantCulture, $"{kind.Word} {part}");
}
