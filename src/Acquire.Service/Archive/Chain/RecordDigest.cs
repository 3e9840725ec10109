using System.Buffers;
using System.Buffers.Binary;
using System.Security.Cryptography;
using System.Text;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Chain;

/// <summary>The SHA-256 of a record: the same from the values that are written and from those that are read. One thread at a time.</summary>
/// <remarks>
/// The bytes, little-endian: the ASCII text `acquire-archive-record-1`, a zero, the kind's code (1 byte), the number of fields (1), then each field:
/// a tag (0 nothing, 1 whole number, 2 number, 3 text, 4 bytes) and, for 1, 8 bytes; for 2, the 8 bytes of IEEE 754, a negative zero as zero;
/// for 3 and 4, the length (4 bytes) and the bytes, text as UTF-8.
/// </remarks>
internal sealed class RecordDigest
{
    public const byte Nothing = 0;
    public const byte WholeNumber = 1;
    public const byte Number = 2;
    public const byte Text = 3;
    public const byte Bytes = 4;

    private readonly ArrayBufferWriter<byte> _bytes = new(4096);

    /// <summary>What the bytes of every record begin with.</summary>
    public static ReadOnlySpan<byte> Domain => "acquire-archive-record-1\0"u8;

    /// <summary>Digest of values in the order of the kind's fields: long, double, string, byte array, null.</summary>
    public byte[] Of(RecordKind kind, params ReadOnlySpan<object?> values)
    {
        ArgumentOutOfRangeException.ThrowIfNotEqual(values.Length, kind.Fields.Count, nameof(values));
        Begin(kind);
        for (var i = 0; i < values.Length; i++)
        {
            Put(kind.Fields[i], values[i]);
        }

        return SHA256.HashData(_bytes.WrittenSpan);
    }

    /// <summary>Digest of the row that <see cref="RecordKind.Select"/> found.</summary>
    public byte[] Of(RecordKind kind, SqliteDataReader row) => SHA256.HashData(BytesOf(kind, row));

    /// <summary>The bytes that are digested; they stay until the next call.</summary>
    public ReadOnlySpan<byte> BytesOf(RecordKind kind, SqliteDataReader row)
    {
        Begin(kind);
        for (var i = 0; i < kind.Fields.Count; i++)
        {
            Put(kind.Fields[i], row.IsDBNull(i) ? null : kind.Fields[i] switch
            {
                FieldType.Integer => row.GetInt64(i),
                FieldType.Real => row.GetDouble(i),
                _ => row.GetFieldValue<byte[]>(i),
            });
        }

        return _bytes.WrittenSpan;
    }

    private void Begin(RecordKind kind)
    {
        _bytes.ResetWrittenCount();
        _bytes.Write(Domain);
        _bytes.Write([kind.Code, (byte)kind.Fields.Count]);
    }

    private void Put(FieldType type, object? value)
    {
        switch (value)
        {
            case null:
                _bytes.Write([Nothing]);
                break;
            case string text:
                Put(Text, Encoding.UTF8.GetBytes(text));
                break;
            case byte[] bytes:
                Put(type == FieldType.Text ? Text : Bytes, bytes);
                break;
            case double number:
                // SQLite does not keep the sign of a zero.
                PutEight(Number, number == 0 ? 0 : BitConverter.DoubleToInt64Bits(number));
                break;
            default:
                PutEight(WholeNumber, Convert.ToInt64(value, System.Globalization.CultureInfo.InvariantCulture));
                break;
        }
    }

    private void Put(byte tag, ReadOnlySpan<byte> bytes)
    {
        var head = _bytes.GetSpan(5);
        head[0] = tag;
        BinaryPrimitives.WriteInt32LittleEndian(head[1..], bytes.Length);
        _bytes.Advance(5);
        _bytes.Write(bytes);
    }

    private void PutEight(byte tag, long value)
    {
        var span = _bytes.GetSpan(9);
        span[0] = tag;
        BinaryPrimitives.WriteInt64LittleEndian(span[1..], value);
        _bytes.Advance(9);
    }
}
