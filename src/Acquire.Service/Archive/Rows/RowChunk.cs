using System.Buffers;
using System.Buffers.Binary;
using System.IO.Compression;
using System.Numerics;
using Acquire.Core.Readings;

namespace Acquire.Service.Archive.Rows;

/// <summary>Rows as one compact piece of bytes, exact to the last bit, with a checksum; and back, from bytes that nobody vouches for.</summary>
/// <remarks>
/// Layout, little-endian: version (1 byte), packing (1: 0 plain, 1 Brotli, 2 squeezed, then Brotli), rows (4), CRC-32C of all other bytes (4), body.
/// Version 2 came with the thermometer's signal, its reference junction and the marks of a reading; it is written only where a row has one of them.
/// Version 3 came with what a tester tells of itself and of the bench (<see cref="BenchColumns"/>), version 4 with a second detector, likewise.
/// Packing 2 leaves planes that say nothing out before Brotli sees them, see <see cref="PlaneSqueeze"/>; it came with version 6 of the archive, and packing 1 is only read since.
/// The body's length before packing follows from version and number of rows, see <see cref="RowChunkBody"/>.
/// </remarks>
public static class RowChunk
{
    /// <summary>Newest version that <see cref="Encode"/> writes.</summary>
    public const byte NewestVersion = RowChunkBody.SecondDetectorVersion;

    /// <summary>Most rows a chunk may hold.</summary>
    public const int MostRows = 65_536;

    private const int HeaderBytes = 10;
    private const byte Plain = 0;
    private const byte Brotli = 1;
    private const byte Squeezed = 2;

    /// <summary>No chunk is longer than this, bytes.</summary>
    public const int MostBytes = HeaderBytes + RowChunkBody.BytesBesidesRowsAtMost + (MostRows * RowChunkBody.BytesPerRowAtMost);

    /// <summary>Whether the row can be archived: a finite time, no channel and no mark that the format does not know. Any other value is kept as it is.</summary>
    public static bool CanHold(in ReadingRow row) =>
        double.IsFinite(row.AtSeconds) && (row.Present & ~RowChunkBody.AllChannels) == 0 && (row.Marks & ~ReadingMarks.All) == 0;

    /// <summary>Encodes 1 to <see cref="MostRows"/> rows for which <see cref="CanHold"/> is true.</summary>
    public static byte[] Encode(ReadOnlySpan<ReadingRow> rows)
    {
        ArgumentOutOfRangeException.ThrowIfZero(rows.Length, nameof(rows));
        ArgumentOutOfRangeException.ThrowIfGreaterThan(rows.Length, MostRows, nameof(rows));
        var version = RowChunkBody.VersionFor(rows);
        var bodyLength = RowChunkBody.Length(version, rows.Length);
        var body = ArrayPool<byte>.Shared.Rent(bodyLength);
        var squeezed = ArrayPool<byte>.Shared.Rent(PlaneSqueeze.MostBytes(version, rows.Length));
        var packed = ArrayPool<byte>.Shared.Rent(bodyLength);
        try
        {
            RowChunkBody.Write(version, rows, body.AsSpan(0, bodyLength));
            var left = PlaneSqueeze.Squeeze(version, rows.Length, body.AsSpan(0, bodyLength), squeezed);
            // Quality 1 and a window of 64 KiB: higher settings cost time on the writer and win little on planes of bytes.
            var packs = BrotliEncoder.TryCompress(squeezed.AsSpan(0, left), packed.AsSpan(0, bodyLength - 1), out var length, quality: 1, window: 16);
            return packs ? Seal(version, Squeezed, rows.Length, packed.AsSpan(0, length)) : Seal(version, Plain, rows.Length, body.AsSpan(0, bodyLength));
        }
        finally
        {
            ArrayPool<byte>.Shared.Return(body);
            ArrayPool<byte>.Shared.Return(squeezed);
            ArrayPool<byte>.Shared.Return(packed);
        }
    }

    /// <summary>Decodes a chunk. Returns null and says what is wrong when the bytes are not exactly what <see cref="Encode"/> wrote.</summary>
    public static ReadingRow[]? Decode(ReadOnlySpan<byte> chunk, out string? fault)
    {
        ReadingRow[]? rows = null;
        fault = Open(chunk, (ReadOnlySpan<byte> body, byte version, int count) =>
        {
            rows = RowChunkBody.Read(version, body, count, out var wrong);
            return wrong;
        });
        return fault is null ? rows : null;
    }

    /// <summary>Decodes what a curve needs of a chunk. Says what is wrong where the bytes are not what <see cref="Encode"/> wrote; null where they are.</summary>
    internal static string? DecodeCurve(ReadOnlySpan<byte> chunk, CurveColumns into) => Open(chunk, (body, version, count) =>
    {
        into.Begin(count);
        RowChunkBody.TryReadCurve(version, body, into, out var wrong);
        return wrong;
    });

    private static string? Open(ReadOnlySpan<byte> chunk, Func<ReadOnlySpan<byte>, byte, int, string?> read)
    {
        if (CheckHeader(chunk, out var count) is { } fault)
        {
            return fault;
        }

        // The body is bounded by the number of rows, which is bounded above: no content can ask for more memory.
        var bodyLength = RowChunkBody.Length(chunk[0], count);
        var body = ArrayPool<byte>.Shared.Rent(bodyLength);
        try
        {
            return Unpack(chunk, count, body.AsSpan(0, bodyLength))
                ? read(body.AsSpan(0, bodyLength), chunk[0], count)
                : "the packed body does not unpack to the length that its number of rows asks for";
        }
        finally
        {
            ArrayPool<byte>.Shared.Return(body);
        }
    }

    private static byte[] Seal(byte version, byte packing, int rows, ReadOnlySpan<byte> packed)
    {
        var chunk = new byte[HeaderBytes + packed.Length];
        chunk[0] = version;
        chunk[1] = packing;
        BinaryPrimitives.WriteInt32LittleEndian(chunk.AsSpan(2), rows);
        packed.CopyTo(chunk.AsSpan(HeaderBytes));
        BinaryPrimitives.WriteUInt32LittleEndian(chunk.AsSpan(6), Checksum(chunk));
        return chunk;
    }

    private static string? CheckHeader(ReadOnlySpan<byte> chunk, out int rows)
    {
        rows = 0;
        if (chunk.Length < HeaderBytes)
        {
            return $"it is {chunk.Length} bytes long; its header alone takes {HeaderBytes}";
        }

        if (!RowChunkBody.Knows(chunk[0]))
        {
            return $"its format version is {chunk[0]}; this program reads versions {RowChunkBody.PlainVersion} to {NewestVersion}";
        }

        if (BinaryPrimitives.ReadUInt32LittleEndian(chunk[6..]) != Checksum(chunk))
        {
            return "its checksum does not match its content";
        }

        rows = BinaryPrimitives.ReadInt32LittleEndian(chunk[2..]);
        return rows is < 1 or > MostRows ? $"it claims {rows} rows; 1 to {MostRows} are possible" : null;
    }

    private static bool Unpack(ReadOnlySpan<byte> chunk, int count, Span<byte> body)
    {
        var packed = chunk[HeaderBytes..];
        switch (chunk[1])
        {
            case Plain when packed.Length == body.Length:
                packed.CopyTo(body);
                return true;
            case Brotli:
                return BrotliDecoder.TryDecompress(packed, body, out var written) && written == body.Length;
            case Squeezed:
                var squeezed = ArrayPool<byte>.Shared.Rent(PlaneSqueeze.MostBytes(chunk[0], count));
                try
                {
                    return BrotliDecoder.TryDecompress(packed, squeezed, out var left) && PlaneSqueeze.TryExpand(chunk[0], count, squeezed.AsSpan(0, left), body);
                }
                finally
                {
                    ArrayPool<byte>.Shared.Return(squeezed);
                }

            default:
                return false;
        }
    }

    // CRC-32C over the six header bytes before the checksum and the packed body after it.
    private static uint Checksum(ReadOnlySpan<byte> chunk) => ~Checksum(Checksum(uint.MaxValue, chunk[..6]), chunk[HeaderBytes..]);

    private static uint Checksum(uint crc, ReadOnlySpan<byte> bytes)
    {
        while (bytes.Length >= sizeof(ulong))
        {
            crc = BitOperations.Crc32C(crc, BinaryPrimitives.ReadUInt64LittleEndian(bytes));
            bytes = bytes[sizeof(ulong)..];
        }

        foreach (var value in bytes)
        {
            crc = BitOperations.Crc32C(crc, value);
        }

        return crc;
    }
}
