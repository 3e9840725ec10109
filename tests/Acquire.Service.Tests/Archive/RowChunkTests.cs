using System.Buffers.Binary;
using System.Numerics;
using Acquire.Core.Readings;
using Acquire.Service.Archive.Rows;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Archive;

public sealed class RowChunkTests(ITestOutputHelper output)
{
    private static readonly double[] OddOnes = [0.0, -0.0, double.Epsilon, -double.Epsilon, 2.2250738585072009e-308, double.MaxValue, double.MinValue, 0.1, 1e22, 9007199254740993];

    private static readonly Gen<double> AnyFinite = Gen.OneOf(
        Gen.Long.Select(BitConverter.Int64BitsToDouble).Where(double.IsFinite),
        Gen.Int[-400_000, 400_000].Select(hundredths => hundredths / 100.0),
        Gen.Int[0, OddOnes.Length - 1].Select(i => OddOnes[i]));

    private static readonly Gen<ReadingRow> AnyRow = Gen.Select(AnyFinite, Gen.Int[0, 7], AnyFinite, AnyFinite, Gen.Bool)
        .Select((at, present, temperature, detector, flame) => new ReadingRow(at, (RowChannels)present, temperature, detector, flame));

    [Fact]
    public void Every_row_comes_back_with_every_bit() =>
        AnyRow.Array[1, 200].Sample(rows => Decoded(RowChunk.Encode(rows)).Select(ArchiveBench.Bits).SequenceEqual(rows.Select(ArchiveBench.Bits)), iter: 3000);

    [Fact]
    public void Columns_of_decimals_come_back_with_every_bit() =>
        Gen.Select(Gen.Int[0, 8], Gen.Long[-1L << 54, 1L << 54].Array[1, 100]).Sample((places, wholes) =>
        {
            var rows = wholes.Select(whole => new ReadingRow(whole / Math.Pow(10, places), RowChannels.Temperature, whole * Math.Pow(10, -places), 0, false)).ToArray();
            return Decoded(RowChunk.Encode(rows)).Select(ArchiveBench.Bits).SequenceEqual(rows.Select(ArchiveBench.Bits));
        }, iter: 3000);

    [Fact]
    public void Values_of_channels_that_are_not_present_are_kept_as_they_are()
    {
        ReadingRow[] rows = [new(1, RowChannels.None, -273.15, double.Epsilon, true), new(1, RowChannels.Flame, double.NaN, double.NegativeInfinity, false)];

        ArchiveBench.AssertSameBits(rows, Decoded(RowChunk.Encode(rows)));
    }

    [Fact]
    public void Any_single_changed_byte_is_noticed()
    {
        var chunk = RowChunk.Encode(ArchiveBench.PlausibleRun(40));
        for (var at = 0; at < chunk.Length; at++)
        {
            var damaged = chunk.ToArray();
            damaged[at] ^= 0x10;
            Assert.Null(RowChunk.Decode(damaged, out var fault));
            Assert.NotNull(fault);
        }
    }

    [Fact]
    public void Any_cut_is_noticed()
    {
        var chunk = RowChunk.Encode(ArchiveBench.PlausibleRun(40));
        for (var length = 0; length < chunk.Length; length++)
        {
            Assert.Null(RowChunk.Decode(chunk.AsSpan(0, length), out var fault));
            Assert.NotNull(fault);
        }
    }

    [Fact]
    public void A_chunk_of_a_later_version_is_refused_by_its_version()
    {
        var chunk = RowChunk.Encode(ArchiveBench.PlausibleRun(2));
        chunk[0] = 2;

        Assert.Null(RowChunk.Decode(chunk, out var fault));
        Assert.Equal("its format version is 2; this program reads version 1", fault);
    }

    [Theory]
    [InlineData(int.MaxValue)]
    [InlineData(-1)]
    [InlineData(0)]
    [InlineData(RowChunk.MostRows + 1)]
    public void A_claim_of_too_many_rows_asks_for_no_memory(int rows)
    {
        var chunk = RowChunk.Encode(ArchiveBench.PlausibleRun(2));
        BinaryPrimitives.WriteInt32LittleEndian(chunk.AsSpan(2), rows);
        Reseal(chunk);
        var before = GC.GetAllocatedBytesForCurrentThread();

        Assert.Null(RowChunk.Decode(chunk, out var fault));
        Assert.Contains("claims", fault, StringComparison.Ordinal);
        Assert.True(GC.GetAllocatedBytesForCurrentThread() - before < 100_000);
    }

    // With the right checksum the bytes reach every part of the decoder; whatever they are, it answers with rows or a fault.
    [Fact]
    public void Random_bytes_with_a_right_checksum_give_rows_or_a_fault_and_never_an_exception() =>
        Gen.Select(Gen.Byte.Array[0, 400], Gen.Int[0, 3], Gen.Int[-2, 70_000]).Sample((body, packing, claimed) =>
        {
            var chunk = new byte[10 + body.Length];
            (chunk[0], chunk[1]) = (RowChunk.FormatVersion, (byte)packing);
            BinaryPrimitives.WriteInt32LittleEndian(chunk.AsSpan(2), claimed);
            body.CopyTo(chunk, 10);
            Reseal(chunk);
            return RowChunk.Decode(chunk, out var fault) is { } rows ? rows.Length == claimed && fault is null : fault is { Length: > 0 };
        }, iter: 3000);

    [Fact]
    public void Changed_real_chunks_with_a_right_checksum_give_rows_or_a_fault_and_never_an_exception()
    {
        var good = RowChunk.Encode(ArchiveBench.PlausibleRun(300));
        Gen.Select(Gen.Int[10, good.Length - 1], Gen.Byte).Array[1, 8].Sample(changes =>
        {
            var chunk = good.ToArray();
            foreach (var (at, value) in changes)
            {
                chunk[at] = value;
            }

            Reseal(chunk);
            return RowChunk.Decode(chunk, out var fault) is { } rows ? rows.Length == 300 : fault is { Length: > 0 };
        }, iter: 3000);
    }

    [Fact]
    public void A_plausible_run_takes_less_than_a_sixth_of_its_plain_size()
    {
        var chunk = RowChunk.Encode(ArchiveBench.PlausibleRun(1024));

        output.WriteLine($"{chunk.Length / 1024.0:0.00} bytes a row in a chunk of 1024");
        // Plain: three doubles and a byte of marks, 25 bytes a row.
        Assert.True(chunk.Length < 1024 * 25 / 6);
    }

    private static ReadingRow[] Decoded(byte[] chunk) => RowChunk.Decode(chunk, out var fault) ?? throw new InvalidOperationException(fault);

    // An independent, slow way to the checksum: the bytes one by one.
    private static void Reseal(byte[] chunk)
    {
        var crc = chunk.Take(6).Concat(chunk.Skip(10)).Aggregate(uint.MaxValue, (sum, value) => BitOperations.Crc32C(sum, value));
        BinaryPrimitives.WriteUInt32LittleEndian(chunk.AsSpan(6), ~crc);
    }
}
