using System.Buffers;
using System.Buffers.Binary;
using System.IO.Compression;
using System.Numerics;
using Acquire.Core.Readings;

namespace Acquire.Service.Archive.Rows;

/// <summary>Rows as one compact piece of bytes, exact to the last bit, with a checksum; and back, from bytes that nobody vouches for.</summary>
/// <remarks>
/// Layout, little-endian: version (1 byte), packing (1: 0 plain, 1 Brotli), rows (4), CRC-32C of all other bytes (4), body.
/// Body before packing: one byte of marks a row (bits 0 to 2 the channels present, bit 3 flame over), three kinds,
/// then the planes of time, temperature and detector, see <see cref="NumberColumn"/>. Its length follows from the number of rows.
/// </remarks>
public static class RowChunk
{
    /// <summary>Version that <see cref="Encode"/> writes.</summary>
    public const byte FormatVersion = 1;

    /// <summary>Most rows a chunk may hold.</summary>
    public const int MostRows = 65_536;

    private const int HeaderBytes = 10;
    private const int Columns = 3;
    private const int BytesPerRow = 1 + (Columns * NumberColumn.BytesPerValue);
    private const byte Plain = 0;
    private const byte Brotli = 1;
    private const byte FlameMark = 8;
    private const RowChannels AllChannels = RowChannels.Temperature | RowChannels.Detector | RowChannels.Flame;

    /// <summary>No chunk is longer than this, bytes.</summary>
    public const int MostBytes = HeaderBytes + Columns + (MostRows * BytesPerRow);

    /// <summary>Whether the row can be archived: a finite time, no channel the format does not know.</summary>
    public static bool CanHold(in ReadingRow row) => double.IsFinite(row.AtSeconds) && (row.Present & ~AllChannels) == 0;

    /// <summary>Encodes 1 to <see cref="MostRows"/> rows for which <see cref="CanHold"/> is true.</summary>
    public static byte[] Encode(ReadOnlySpan<ReadingRow> rows)
    {
        ArgumentOutOfRangeException.ThrowIfZero(rows.Length, nameof(rows));
        ArgumentOutOfRangeException.ThrowIfGreaterThan(rows.Length, MostRows, nameof(rows));
        var bodyLength = BodyLength(rows.Length);
        var body = ArrayPool<byte>.Shared.Rent(bodyLength);
        var packed = ArrayPool<byte>.Shared.Rent(bodyLength);
        try
        {
            WriteBody(rows, body.AsSpan(0, bodyLength));
            // Quality 1 and a window of 64 KiB: higher settings cost time on the writer and win little on planes of bytes.
            var packs = BrotliEncoder.TryCompress(body.AsSpan(0, bodyLength), packed.AsSpan(0, bodyLength - 1), out var length, quality: 1, window: 16);
            return packs ? Seal(Brotli, rows.Length, packed.AsSpan(0, length)) : Seal(Plain, rows.Length, body.AsSpan(0, bodyLength));
        }
        finally
        {
            ArrayPool<byte>.Shared.Return(body);
            ArrayPool<byte>.Shared.Return(packed);
        }
    }

    /// <summary>Decodes a chunk. Returns null and says what is wrong when the bytes are not exactly what <see cref="Encode"/> wrote.</summary>
    public static ReadingRow[]? Decode(ReadOnlySpan<byte> chunk, out string? fault)
    {
        fault = CheckHeader(chunk, out var count);
        if (fault is not null)
        {
            return null;
        }

        // The body is bounded by the number of rows, which is bounded above: no content can ask for more memory.
        var bodyLength = BodyLength(count);
        var body = ArrayPool<byte>.Shared.Rent(bodyLength);
        try
        {
            if (!Unpack(chunk[1], chunk[HeaderBytes..], body.AsSpan(0, bodyLength)))
            {
                fault = "the packed body does not unpack to the length that its number of rows asks for";
                return null;
            }

            return ReadBody(body.AsSpan(0, bodyLength), count, out fault);
        }
        finally
        {
            ArrayPool<byte>.Shared.Return(body);
        }
    }

    private static int BodyLength(int rows) => (rows * BytesPerRow) + Columns;

    private static void WriteBody(ReadOnlySpan<ReadingRow> rows, Span<byte> body)
    {
        for (var i = 0; i < rows.Length; i++)
        {
            body[i] = (byte)((int)rows[i].Present | (rows[i].FlameOver ? FlameMark : 0));
        }

        var kinds = body.Slice(rows.Length, Columns);
        var planes = body[(rows.Length + Columns)..];
        var planeBytes = rows.Length * NumberColumn.BytesPerValue;
        var values = ArrayPool<double>.Shared.Rent(rows.Length);
        for (var column = 0; column < Columns; column++)
        {
            for (var i = 0; i < rows.Length; i++)
            {
                values[i] = column switch { 0 => rows[i].AtSeconds, 1 => rows[i].TemperatureCelsius, _ => rows[i].Detector };
            }

            kinds[column] = NumberColumn.Pack(values.AsSpan(0, rows.Length), planes.Slice(column * planeBytes, planeBytes));
        }

        ArrayPool<double>.Shared.Return(values);
    }

    private static byte[] Seal(byte packing, int rows, ReadOnlySpan<byte> packed)
    {
        var chunk = new byte[HeaderBytes + packed.Length];
        chunk[0] = FormatVersion;
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

        if (chunk[0] != FormatVersion)
        {
            return $"its format version is {chunk[0]}; this program reads version {FormatVersion}";
        }

        if (BinaryPrimitives.ReadUInt32LittleEndian(chunk[6..]) != Checksum(chunk))
        {
            return "its checksum does not match its content";
        }

        rows = BinaryPrimitives.ReadInt32LittleEndian(chunk[2..]);
        return rows is < 1 or > MostRows ? $"it claims {rows} rows; 1 to {MostRows} are possible" : null;
    }

    private static bool Unpack(byte packing, ReadOnlySpan<byte> packed, Span<byte> body)
    {
        if (packing == Plain && packed.Length == body.Length)
        {
            packed.CopyTo(body);
            return true;
        }

        return packing == Brotli && BrotliDecoder.TryDecompress(packed, body, out var written) && written == body.Length;
    }

    private static ReadingRow[]? ReadBody(ReadOnlySpan<byte> body, int count, out string? fault)
    {
        var marks = body[..count];
        var kinds = body.Slice(count, Columns);
        if (marks.ContainsAnyExceptInRange((byte)0, (byte)((int)AllChannels | FlameMark)) || kinds.ContainsAnyExceptInRange(NumberColumn.Bits, NumberColumn.HighestKind))
        {
            fault = "a row or a column carries a mark that this program does not know";
            return null;
        }

        fault = null;
        var planeBytes = count * NumberColumn.BytesPerValue;
        var planes = body[(count + Columns)..];
        var values = new double[Columns * count];
        for (var column = 0; column < Columns; column++)
        {
            NumberColumn.Unpack(kinds[column], planes.Slice(column * planeBytes, planeBytes), values.AsSpan(column * count, count));
        }

        var rows = new ReadingRow[count];
        for (var i = 0; i < count; i++)
        {
            rows[i] = new ReadingRow(values[i], (RowChannels)(marks[i] & (int)AllChannels), values[count + i], values[(2 * count) + i], (marks[i] & FlameMark) != 0);
        }

        return rows;
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
