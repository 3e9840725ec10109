namespace Acquire.Service.Archive.Rows;

/// <summary>Leaves out of a chunk's body the planes that say nothing, before it is packed: neighbours differ little, so most do. What is left packs and unpacks some times faster.</summary>
/// <remarks>
/// First the bytes of the body that are in no plane, then each plane: a mark (1 byte) and, for 0, its first byte, all others being zero;
/// for 1, its first byte, all others being the same; for 2, all its bytes.
/// </remarks>
internal static class PlaneSqueeze
{
    private const byte Zeros = 0;
    private const byte Same = 1;
    private const byte Whole = 2;

    /// <summary>Most bytes that are left of a body.</summary>
    public static int MostBytes(byte version, int rows) => RowChunkBody.Length(version, rows) + RowChunkBody.Planes(version);

    /// <summary>Squeezes a body. Returns how many bytes are left.</summary>
    public static int Squeeze(byte version, int rows, ReadOnlySpan<byte> body, Span<byte> into)
    {
        var kinds = RowChunkBody.KindsOf(version, rows);
        body[kinds].CopyTo(into);
        var at = kinds.End.Value - kinds.Start.Value;
        for (var plane = 0; plane < RowChunkBody.Planes(version); plane++)
        {
            var bytes = body.Slice(RowChunkBody.PlaneAt(version, rows, plane), rows);
            var mark = bytes[1..].IndexOfAnyExcept((byte)0) < 0 ? Zeros : bytes[1..].IndexOfAnyExcept(bytes[0]) < 0 ? Same : Whole;
            into[at++] = mark;
            var kept = mark == Whole ? bytes : bytes[..1];
            kept.CopyTo(into[at..]);
            at += kept.Length;
        }

        return at;
    }

    /// <summary>Makes the body whole again; false where the bytes are not what <see cref="Squeeze"/> left.</summary>
    public static bool TryExpand(byte version, int rows, ReadOnlySpan<byte> squeezed, Span<byte> body)
    {
        var kinds = RowChunkBody.KindsOf(version, rows);
        var at = kinds.End.Value - kinds.Start.Value;
        if (squeezed.Length < at)
        {
            return false;
        }

        squeezed[..at].CopyTo(body[kinds]);
        for (var plane = 0; plane < RowChunkBody.Planes(version); plane++)
        {
            var mark = at < squeezed.Length ? squeezed[at++] : byte.MaxValue;
            var kept = mark == Whole ? rows : 1;
            if (mark > Whole || kept > squeezed.Length - at)
            {
                return false;
            }

            var bytes = body.Slice(RowChunkBody.PlaneAt(version, rows, plane), rows);
            bytes.Fill(mark == Same ? squeezed[at] : (byte)0);
            squeezed.Slice(at, kept).CopyTo(bytes);
            at += kept;
        }

        return at == squeezed.Length;
    }
}
