namespace Acquire.ArchiveVictim;

/// <summary>What a disk may hold after a power cut: everything that was flushed, and of what was written since any sectors, in any order, or rubbish.</summary>
/// <remarks>
/// Two images are taken of the files, the writer standing still. What was committed in the first had been flushed by then, or is not asked for.
/// Between the two the log only grows, as long as it has not begun anew; the database changes by checkpoints alone, which copy what was flushed in the log.
/// </remarks>
public static class PowerCut
{
    private const int SectorBytes = 512;

    /// <summary>Words for the kinds of image.</summary>
    public static IReadOnlyList<string> Kinds { get; } = ["as it was", "database of before, log of after", "database of after, log cut", "sectors of both, log with rubbish at its end"];

    /// <summary>Makes one.</summary>
    /// <param name="kind">Index of its kind.</param>
    /// <param name="before">The files before.</param>
    /// <param name="after">The files after.</param>
    /// <param name="random">Draws.</param>
    /// <returns>The files, and how many bytes at the end of the log were not left as they were.</returns>
    public static (ArchiveImage Image, long Lost) Make(int kind, ArchiveImage before, ArchiveImage after, Random random)
    {
        // A log that has begun anew was flushed into the database first: only what came after is open.
        var earlier = before.HasSameLog(after) ? before : after;
        var flushed = Math.Max(earlier.CommittedBytes, Math.Min(after.CheckpointedBytes, after.CommittedBytes));
        var cut = random.Next(Math.Min(flushed, after.Log.Length), after.Log.Length + 1);
        return kind switch
        {
            0 => (after with { Index = [] }, 0),
            1 => (new(earlier.Database, after.Log, []), 0),
            2 => (new(after.Database, after.Log[..cut], after.Index), after.Log.Length - cut),
            _ => (new(Mix(earlier.Database, after.Database, random), Spoil(after.Log, cut, random), Noise(after.Index.Length, random)), after.Log.Length - cut),
        };
    }

    private static byte[] Mix(byte[] before, byte[] after, Random random)
    {
        var mixed = (byte[])after.Clone();
        for (var at = 0; at < mixed.Length; at += SectorBytes)
        {
            if (random.Next(2) == 0 && at < before.Length)
            {
                before.AsSpan(at, Math.Min(SectorBytes, Math.Min(before.Length, mixed.Length) - at)).CopyTo(mixed.AsSpan(at));
            }
        }

        return mixed;
    }

    private static byte[] Spoil(byte[] log, int from, Random random)
    {
        var spoilt = new byte[log.Length + (random.Next(4) * 4096)];
        log.CopyTo(spoilt, 0);
        for (var at = from; at < spoilt.Length; at += SectorBytes)
        {
            var sector = spoilt.AsSpan(at, Math.Min(SectorBytes, spoilt.Length - at));
            switch (random.Next(3))
            {
                case 0:
                    sector.Clear();
                    break;
                case 1:
                    random.NextBytes(sector);
                    break;
            }
        }

        return spoilt;
    }

    private static byte[] Noise(int length, Random random)
    {
        var noise = new byte[length];
        random.NextBytes(noise);
        return noise;
    }
}
