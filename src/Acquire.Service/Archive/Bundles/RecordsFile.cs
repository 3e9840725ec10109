using System.Buffers;
using System.Buffers.Binary;
using System.Globalization;
using System.Text;
using Acquire.Service.Archive.Chain;

namespace Acquire.Service.Archive.Bundles;

/// <summary>The records of a run as one piece of bytes.</summary>
/// <remarks>
/// The ASCII text `acquire-run-records-1`, a zero, then each record in the order of the chain, little-endian: the length of what follows (4 bytes),
/// the kind's code (1), the number of its columns (1), and its columns but the first, as they are digested (<see cref="RecordDigest"/>).
/// The first is the run's number: it is another in each archive.
/// </remarks>
internal static class RecordsFile
{
    private const int MostRecords = 4_000_000;
    private static readonly UTF8Encoding Strict = new(encoderShouldEmitUTF8Identifier: false, throwOnInvalidBytes: true);

    private static ReadOnlySpan<byte> Domain => "acquire-run-records-1\0"u8;

    /// <summary>Begins the file.</summary>
    public static ArrayBufferWriter<byte> Begin()
    {
        var file = new ArrayBufferWriter<byte>(64 * 1024);
        file.Write(Domain);
        return file;
    }

    /// <summary>Adds a record.</summary>
    /// <param name="file">The file.</param>
    /// <param name="digested">The bytes that are digested.</param>
    public static void Add(ArrayBufferWriter<byte> file, ReadOnlySpan<byte> digested)
    {
        var tail = digested[BundleRecord.BytesBeforeTail..];
        BinaryPrimitives.WriteInt32LittleEndian(file.GetSpan(4), tail.Length + 2);
        file.Advance(4);
        file.Write(digested.Slice(RecordDigest.Domain.Length, 2));
        file.Write(tail);
    }

    /// <summary>Takes a file apart. Null, with what is wrong, where it holds anything but whole records of known kinds, each value in the one form that is written.</summary>
    public static List<BundleRecord>? TryRead(ReadOnlyMemory<byte> file, out string? fault)
    {
        var records = new List<BundleRecord>();
        fault = file.Span.StartsWith(Domain) ? null : "it does not begin as records do";
        for (var at = Domain.Length; fault is null && at < file.Length;)
        {
            var length = file.Length - at >= 4 ? BinaryPrimitives.ReadInt32LittleEndian(file.Span[at..]) : -1;
            at += 4;
            if (length < 2 || length > file.Length - at || records.Count == MostRecords)
            {
                fault = Place(records.Count, "does not fit into the file");
                break;
            }

            if (TryRecord(file.Slice(at, length), out var wrong) is { } record)
            {
                records.Add(record);
                at += length;
            }
            else
            {
                fault = Place(records.Count, wrong!);
            }
        }

        return fault is null ? records : null;
    }

    private static string Place(int record, string text) => string.Create(CultureInfo.InvariantCulture, $"its record {record} {text}");

    private static BundleRecord? TryRecord(ReadOnlyMemory<byte> bytes, out string? wrong)
    {
        var code = bytes.Span[0];
        if (BundleRecord.Kinds.FirstOrDefault(known => known.Code == code) is not { } kind || bytes.Span[1] != kind.Fields.Count)
        {
            wrong = $"is of a kind ({code}) that this program does not read from a bundle, or has another number of columns";
            return null;
        }

        var (tail, values) = (bytes[2..], new object?[kind.Fields.Count - 1]);
        var rest = tail.Span;
        for (var i = 0; i < values.Length; i++)
        {
            if (!TryValue(ref rest, kind.Fields[i + 1], out values[i]))
            {
                wrong = $"has a {kind.Columns[i + 1]} that cannot be";
                return null;
            }
        }

        wrong = rest.Length > 0 ? "has bytes behind its last column" : null;
        var part = BundleRecord.HasPart(kind) ? values[0] as long? : 0;
        wrong ??= part is null or < 0 ? "does not say which it is" : null;
        return wrong is null ? new(kind, part!.Value, tail, values) : null;
    }

    private static bool TryValue(ref ReadOnlySpan<byte> rest, FieldType type, out object? value)
    {
        value = null;
        if (rest.Length == 0)
        {
            return false;
        }

        var tag = rest[0];
        rest = rest[1..];
        return tag == RecordDigest.Nothing || (tag, type) switch
        {
            (RecordDigest.WholeNumber, FieldType.Integer) when Take(ref rest, 8, out var bytes) => (value = BinaryPrimitives.ReadInt64LittleEndian(bytes)) is long,
            (RecordDigest.Number, FieldType.Real) when Take(ref rest, 8, out var bytes) => TryNumber(BinaryPrimitives.ReadInt64LittleEndian(bytes), out value),
            (RecordDigest.Text, FieldType.Text) when TakeLong(ref rest, out var bytes) => TryText(bytes, out value),
            (RecordDigest.Bytes, FieldType.Bytes) when TakeLong(ref rest, out var bytes) => (value = bytes.ToArray()) is byte[],
            _ => false,
        };
    }

    // What the database does not keep as it is cannot have come from it.
    private static bool TryNumber(long bits, out object? value)
    {
        var number = BitConverter.Int64BitsToDouble(bits);
        value = number;
        return !double.IsNaN(number) && bits != BitConverter.DoubleToInt64Bits(-0.0);
    }

    private static bool TryText(ReadOnlySpan<byte> bytes, out object? value)
    {
        value = null;
        if (bytes.Contains((byte)0))
        {
            return false;
        }

        try
        {
            value = Strict.GetString(bytes);
            return true;
        }
        catch (DecoderFallbackException)
        {
            return false;
        }
    }

    private static bool TakeLong(ref ReadOnlySpan<byte> rest, out ReadOnlySpan<byte> bytes)
    {
        bytes = default;
        return Take(ref rest, 4, out var length) && Take(ref rest, BinaryPrimitives.ReadInt32LittleEndian(length), out bytes);
    }

    private static bool Take(ref ReadOnlySpan<byte> rest, int length, out ReadOnlySpan<byte> bytes)
    {
        bytes = default;
        if (length < 0 || length > rest.Length)
        {
            return false;
        }

        bytes = rest[..length];
        rest = rest[length..];
        return true;
    }
}
