using System.Buffers.Binary;
using System.Security.Cryptography;
using Acquire.Service.Archive.Chain;

namespace Acquire.Service.Archive.Bundles;

/// <summary>One record of a run, as the archive digests it, without the number that the run has in an archive.</summary>
/// <param name="Kind">Its kind.</param>
/// <param name="Part">Which of the run's records of that kind; 0 where there is one.</param>
/// <param name="Tail">Its bytes behind the run's number.</param>
/// <param name="Values">Its columns but the first: long, double, string, byte array or null.</param>
internal sealed record BundleRecord(RecordKind Kind, long Part, ReadOnlyMemory<byte> Tail, IReadOnlyList<object?> Values)
{
    // Behind the domain: code, number of columns, and the run's number with its tag.
    private const int CodeBytes = 2;
    private const int NumberBytes = 9;

    /// <summary>Bytes that stand before the tail in what is digested.</summary>
    public static int BytesBeforeTail => RecordDigest.Domain.Length + CodeBytes + NumberBytes;

    /// <summary>The kinds that a bundle holds. What an archive says about itself is not of a run.</summary>
    public static IReadOnlyList<RecordKind> Kinds { get; } =
        [RecordKind.Header, RecordKind.Event, RecordKind.Chunk, RecordKind.Closing, RecordKind.Interruption, RecordKind.Correction, RecordKind.Result, RecordKind.Approval, RecordKind.Import];

    /// <summary>Whether the kind's second column tells which record of the run it is.</summary>
    public static bool HasPart(RecordKind kind) => kind != RecordKind.Header && kind != RecordKind.Closing && kind != RecordKind.Interruption;

    /// <summary>What was in the run when it ended, and can never be more: imports of the same run have it alike.</summary>
    public bool IsOfTheRunItself => Kind == RecordKind.Header || Kind == RecordKind.Event || Kind == RecordKind.Chunk || Kind == RecordKind.Closing || Kind == RecordKind.Interruption;

    /// <summary>The digest that the record has in an archive where the run has that number.</summary>
    public byte[] DigestWith(long run)
    {
        var bytes = new byte[BytesBeforeTail + Tail.Length];
        RecordDigest.Domain.CopyTo(bytes);
        var rest = bytes.AsSpan(RecordDigest.Domain.Length);
        (rest[0], rest[1], rest[2]) = (Kind.Code, (byte)Kind.Fields.Count, RecordDigest.WholeNumber);
        BinaryPrimitives.WriteInt64LittleEndian(rest[3..], run);
        Tail.Span.CopyTo(rest[(CodeBytes + NumberBytes)..]);
        return SHA256.HashData(bytes);
    }

    /// <summary>A column by its name.</summary>
    public object? this[string column]
    {
        get
        {
            for (var i = 1; i < Kind.Columns.Count; i++)
            {
                if (Kind.Columns[i] == column)
                {
                    return Values[i - 1];
                }
            }

            throw new ArgumentOutOfRangeException(nameof(column), column, $"A {Kind.Word} has no such column.");
        }
    }
}
