namespace Acquire.Service.Archive;

/// <summary>Whether the record is being kept.</summary>
/// <param name="Ok">False while commits fail.</param>
/// <param name="Text">The state in words; while commits fail, why, since when and what to do.</param>
/// <param name="WalBytes">Size of the write-ahead log, bytes; grows while somebody holds a long read.</param>
/// <param name="QueueDepth">Rows and events that wait to be committed.</param>
/// <param name="QueueCapacity">As many may wait before those who append have to wait.</param>
/// <param name="SecondsSinceCommit">Age of the newest commit, s; null before the first.</param>
/// <param name="FreeBytes">Free space on the archive's disk, bytes; null where it cannot be told.</param>
public sealed record ArchiveHealth(
    bool Ok,
    string Text,
    long WalBytes,
    int QueueDepth,
    int QueueCapacity,
    double? SecondsSinceCommit,
    long? FreeBytes);
