using System.Buffers.Binary;

namespace Acquire.ArchiveVictim;

/// <summary>The files of an archive as the system had them at one moment, while nobody wrote.</summary>
/// <param name="Database">runs.db.</param>
/// <param name="Log">runs.db-wal.</param>
/// <param name="Index">runs.db-shm.</param>
public sealed record ArchiveImage(byte[] Database, byte[] Log, byte[] Index)
{
    private const int LogHeader = 32;
    private const int FrameHeader = 24;

    // Where the index says how many frames a checkpoint has begun to copy (walformat of SQLite: nBackfillAttempted).
    private const int BackfillAttemptedAt = 128;

    /// <summary>Reads the files; the writer must stand still.</summary>
    public static ArchiveImage Take(string path) => new(Read(path), Read(path + "-wal"), Read(path + "-shm"));

    /// <summary>Whether the log has not begun anew between this and a later image.</summary>
    public bool HasSameLog(ArchiveImage later) => Log.Length >= LogHeader && later.Log.Length >= LogHeader && Log.AsSpan(16, 8).SequenceEqual(later.Log.AsSpan(16, 8));

    /// <summary>Length of the log up to the end of its newest commit, bytes.</summary>
    public int CommittedBytes
    {
        get
        {
            var (end, at) = (Math.Min(LogHeader, Log.Length), LogHeader);
            for (var frame = FrameBytes; frame > 0 && at + frame <= Log.Length && Log.AsSpan(at + 8, 8).SequenceEqual(Log.AsSpan(16, 8)); at += frame)
            {
                end = BinaryPrimitives.ReadUInt32BigEndian(Log.AsSpan(at + 4)) != 0 ? at + frame : end;
            }

            return end;
        }
    }

    /// <summary>Length of the log of which a checkpoint may have copied something into the database, bytes: all of that was flushed before.</summary>
    public int CheckpointedBytes => Index.Length < BackfillAttemptedAt + 4 ? 0 : LogHeader + (FrameBytes * BinaryPrimitives.ReadInt32LittleEndian(Index.AsSpan(BackfillAttemptedAt)));

    /// <summary>Writes the files.</summary>
    public void Write(string path)
    {
        File.WriteAllBytes(path, Database);
        File.WriteAllBytes(path + "-wal", Log);
        if (Index.Length > 0)
        {
            File.WriteAllBytes(path + "-shm", Index);
        }
    }

    private int FrameBytes => Log.Length < LogHeader ? 0 : FrameHeader + (int)BinaryPrimitives.ReadUInt32BigEndian(Log.AsSpan(8));

    private static byte[] Read(string file)
    {
        if (!File.Exists(file))
        {
            return [];
        }

        using var stream = new FileStream(file, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete);
        var bytes = new byte[stream.Length];
        stream.ReadExactly(bytes);
        return bytes;
    }
}
