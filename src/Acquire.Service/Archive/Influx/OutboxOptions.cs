namespace Acquire.Service.Archive.Influx;

/// <summary>What an outbox is made of beside its endpoint.</summary>
/// <param name="ArchivePath">The archive's file.</param>
internal sealed record OutboxOptions(string ArchivePath)
{
    /// <summary>The file with the cursors, beside the archive.</summary>
    public string StatePath { get; init; } = Path.Combine(Path.GetDirectoryName(Path.GetFullPath(ArchivePath))!, Keeping.OutboxFile.FileName);

    /// <summary>Puts another handler round the one that sends; null for none.</summary>
    public Func<HttpMessageHandler, HttpMessageHandler>? Around { get; init; }

    /// <summary>Source of the jitter of waits.</summary>
    public Random Random { get; init; } = Random.Shared;
}
