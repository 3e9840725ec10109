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

    private static readonly Gen<ReadingRow> PlainRow = Gen.Select(AnyFinite, Gen.Int[0, 7], AnyFinite, AnyFinite, Gen.Bool)
        .Select((at, present, temperature, detector, flame) => new ReadingRow(at, (RowChannels)present, temperature, detector, flame));

    private static readonly Gen<ReadingRow> SignalRow = Gen.Select(PlainRow, Gen.Int[0, 3], AnyFinite, AnyFinite, Gen.Int)
        .Select((row, present, signal, junction, marks) => row with
        {
            Present = row.Present | (RowChannels)(present << 3),
            Signal = signal,
            JunctionCelsius = junction,
            Marks = (ReadingMarks)marks & ReadingMarks.All,
        });

    private static readonly Gen<ReadingRow> BenchRow = Gen.Select(Gen.OneOf(PlainRow, SignalRow), Gen.Int[0, 127], Gen.Int[0, 3], Gen.OneOf(Gen.Long, Gen.Const(0L), Gen.Const(long.MaxValue)), AnyFinite.Array[4])
        .Select((row, present, yes, command, values) => row with
        {
            Present = row.Present | (RowChannels)(present << 5),
            Stirring = (yes & 1) != 0,
            Lit = (yes & 2) != 0,
            Command = command,
            HeaterFraction = values[0],
            StirrerRevolutionsPerMinute = values[1],
            AirMetresPerSecond = values[2],
            AmbientCelsius = values[3],
        });

    private static readonly Gen<ReadingRow> SecondRow = Gen.Select(Gen.OneOf(PlainRow, SignalRow, BenchRow), Gen.Bool, AnyFinite)
        .Select((row, there, second) => row with { Present = row.Present | (there ? RowChannels.SecondDetector : 0), SecondDetector = second });

    private static readonly Gen<ReadingRow> AnyRow = Gen.OneOf(PlainRow, SignalRow, BenchRow, SecondRow);

    // One row to show what makes a chunk one of a later version.
    public static TheoryData<ReadingRow, byte> Versions => new()
    {
        { new ReadingRow(1, RowChannels.Temperature | RowChannels.Detector | RowChannels.Flame, 2, 3, true), 1 },
        { new ReadingRow(1, RowChannels.Signal, 2, 3, true), 2 },
        { new ReadingRow(1, RowChannels.Junction, 2, 3, true), 2 },
        { new ReadingRow(1, RowChannels.None, 2, 3, true) { Signal = 0.1 }, 2 },
        { new ReadingRow(1, RowChannels.None, 2, 3, true) { JunctionCelsius = -0.0 }, 2 },
        { new ReadingRow(1, RowChannels.None, 2, 3, true) { Marks = ReadingMarks.LagUncorrected }, 2 },
        { new ReadingRow(1, RowChannels.Command, 2, 3, true), 3 },
        { new ReadingRow(1, RowChannels.Heater, 2, 3, true), 3 },
        { new ReadingRow(1, RowChannels.Stirrer, 2, 3, true), 3 },
        { new ReadingRow(1, RowChannels.Stirring, 2, 3, true), 3 },
        { new ReadingRow(1, RowChannels.Lit, 2, 3, true), 3 },
        { new ReadingRow(1, RowChannels.Air, 2, 3, true), 3 },
        { new ReadingRow(1, RowChannels.Ambient | RowChannels.Signal, 2, 3, true), 3 },
        { new ReadingRow(1, RowChannels.None, 2, 3, true) { Command = 1 }, 3 },
        { new ReadingRow(1, RowChannels.None, 2, 3, true) { Lit = true }, 3 },
        { new ReadingRow(1, RowChannels.None, 2, 3, true) { Stirring = true }, 3 },
        { new ReadingRow(1, RowChannels.None, 2, 3, true) { AmbientCelsius = -0.0 }, 3 },
        { new ReadingRow(1, RowChannels.SecondDetector, 2, 3, true) { SecondDetector = 4 }, 4 },
        { new ReadingRow(1, RowChannels.SecondDetector | RowChannels.Signal | RowChannels.Lit, 2, 3, true), 4 },
        { new ReadingRow(1, RowChannels.None, 2, 3, true) { SecondDetector = -0.0 }, 4 },
    };

    [Fact]
    public void Every_row_comes_back_with_every_bit() =>
        AnyRow.Array[1, 200].Sample(rows =>
        {
            var back = Decoded(RowChunk.Encode(rows));
            return back.Select(ArchiveBench.Bits).SequenceEqual(rows.Select(ArchiveBench.Bits)) && back.SequenceEqual(rows);
        }, iter: 3000);

    [Fact]
    public void Rows_without_signal_junction_and_marks_are_written_as_an_older_program_reads_them() =>
        PlainRow.Array[1, 50].Sample(rows => RowChunk.Encode(rows)[0] == 1, iter: 500);

    [Theory]
    [MemberData(nameof(Versions))]
    public void A_chunk_has_the_oldest_version_that_holds_its_rows(ReadingRow row, byte version)
    {
        ReadingRow[] rows = [new(0, RowChannels.Detector, 0, 1, false), row];

        Assert.Equal(version, RowChunk.Encode(rows)[0]);
        ArchiveBench.AssertSameBits(rows, Decoded(RowChunk.Encode(rows)));
    }

    // Bytes as the first version of the program wrote them: old archives stay readable, and a plain run is still written like this.
    [Fact]
    public void A_chunk_of_version_1_is_read_and_written_to_the_byte()
    {
        var chunk = Convert.FromHexString("0100020000003652F82B0F0200030000AA00AA00AA00AA00AA00AAA00A7F00AAA9B4B4000000000000000000000000FF6FFFA1FF86FFCAFF1AFF50FF0AFF83");
        ReadingRow[] rows = [new(0.25, RowChannels.Temperature | RowChannels.Detector | RowChannels.Flame, 231.25, -0.0, true), new(1.0 / 3, RowChannels.Detector, 0, 1e-7, false)];

        ArchiveBench.AssertSameBits(rows, Decoded(chunk));
        Assert.Equal(chunk, RowChunk.Encode(rows));
    }

    // What Brotli makes of the same rows may change with the runtime; what it made of them must stay readable.
    [Fact]
    public void A_packed_chunk_of_version_1_is_read() => ArchiveBench.AssertSameBits(OldRows.Expected, Decoded(OldRows.PackedChunk));

    [Fact]
    public void A_packed_chunk_of_version_3_is_read_and_its_rows_are_still_written_as_version_3()
    {
        ArchiveBench.AssertSameBits(OldRows.ExpectedBench, Decoded(OldRows.PackedBenchChunk));
        Assert.Equal(3, RowChunk.Encode(OldRows.ExpectedBench)[0]);
    }

    // A row of a later version may come before one of an earlier: the whole chunk is of the later.
    [Fact]
    public void One_row_with_a_second_detector_makes_the_chunk_one_of_version_4_wherever_it_stands()
    {
        foreach (var at in new[] { 0, 20, 39 })
        {
            var rows = OldRows.ExpectedBench.ToArray();
            rows[at] = rows[at] with { Present = rows[at].Present | RowChannels.SecondDetector, SecondDetector = -1e-300 };

            var chunk = RowChunk.Encode(rows);

            Assert.Equal(4, chunk[0]);
            ArchiveBench.AssertSameBits(rows, Decoded(chunk));
        }
    }

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
        ReadingRow[] rows =
        [
            new(1, RowChannels.None, -273.15, double.Epsilon, true),
            new(1, RowChannels.Flame, double.NaN, double.NegativeInfinity, false),
            new(1, RowChannels.Signal, 0, 0, false) { Signal = double.NaN, JunctionCelsius = double.PositiveInfinity },
        ];

        Assert.All(rows, row => Assert.True(RowChunk.CanHold(row)));
        ArchiveBench.AssertSameBits(rows, Decoded(RowChunk.Encode(rows)));
    }

    [Fact]
    public void A_channel_or_mark_that_nobody_knows_cannot_be_stored()
    {
        Assert.False(RowChunk.CanHold(new ReadingRow(1, (RowChannels)8192, 0, 0, false)));
        Assert.All(Enumerable.Range(0, 32), bit => Assert.Equal(
            (ReadingMarks.All & (ReadingMarks)(1 << bit)) != 0,
            RowChunk.CanHold(new ReadingRow(1, RowChannels.None, 0, 0, false) { Marks = (ReadingMarks)(1 << bit) })));
    }

    // The byte, of 3 rows whose body is not packed: 10 bytes of header, then 3 of channels, 3 of low and 3 of high marks, and from version 3 on 3 of channels and 3 of yes or no.
    [Theory]
    [InlineData(1, 10, 0x10, "row 0 carries the bits 0x1F; this program knows those of 0x0F")]
    [InlineData(2, 11, 0x40, "row 1 carries the bits 0x7F; this program knows those of 0x3F")]
    [InlineData(2, 12, 0x80, "row 2 carries the bits 0xBF; this program knows those of 0x3F")]
    [InlineData(2, 17, 0x04, "row 1 carries the reading marks 0x0400 that this program does not know")]
    [InlineData(2, 18, 0x04, "row 2 carries the reading marks 0x0400 that this program does not know")]
    [InlineData(2, 21, 0x10, "its column 2 is of the kind 16; this program knows 0 to 8")]
    [InlineData(3, 20, 0x80, "row 1 carries the bench bits 0xFF; this program knows those of 0x7F")]
    [InlineData(3, 24, 0x04, "row 2 carries the bench bits 0x07; this program knows those of 0x03")]
    [InlineData(3, 34, 0x10, "its column 9 is of the kind 16; this program knows 0 to 8")]
    [InlineData(4, 24, 0x04, "row 2 carries the bench bits 0x07; this program knows those of 0x03")]
    [InlineData(4, 35, 0x10, "its column 10 is of the kind 16; this program knows 0 to 8")]
    public void What_this_program_does_not_know_is_refused_by_name(int version, int at, byte bits, string expected)
    {
        const RowChannels all = RowChannels.Temperature | RowChannels.Detector | RowChannels.Flame;
        var rows = Enumerable.Range(0, 3).Select(i => new ReadingRow(Math.Sqrt(i + 2), all, Math.Cbrt(i + 2), Math.Exp(i + 2), true));
        var chunk = RowChunk.Encode([.. version == 1 ? rows : rows.Select(row => row with { Present = all | RowChannels.Signal | RowChannels.Junction, Signal = Math.Sin(row.AtSeconds), JunctionCelsius = Math.Cos(row.AtSeconds) }).Select(row => version == 2 ? row : Bench(row)).Select(row => version < 4 ? row : Second(row))]);
        Assert.Equal((version, 0), (chunk[0], chunk[1]));

        chunk[at] |= bits;
        Reseal(chunk);

        Assert.Null(RowChunk.Decode(chunk, out var fault));
        Assert.Equal(expected, fault);
    }

    [Fact]
    public void A_chunk_that_claims_the_other_version_is_refused()
    {
        foreach (var (chunk, other) in new[] { (RowChunk.Encode(ArchiveBench.PlausibleRun(40)), 2), (RowChunk.Encode(ArchiveBench.PlausibleSignalRun(40)), 1), (RowChunk.Encode(ArchiveBench.PlausibleSignalRun(40)), 3), (RowChunk.Encode(BenchRun(40)), 2), (RowChunk.Encode(BenchRun(40)), 4), (RowChunk.Encode(SecondRun(40)), 3) })
        {
            chunk[0] = (byte)other;
            Reseal(chunk);
            Assert.Null(RowChunk.Decode(chunk, out var fault));
            Assert.Contains("does not unpack", fault, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Any_single_changed_byte_is_noticed() => Assert.All([ArchiveBench.PlausibleRun(40), ArchiveBench.PlausibleSignalRun(40), BenchRun(40), SecondRun(40)], rows =>
    {
        var chunk = RowChunk.Encode(rows);
        for (var at = 0; at < chunk.Length; at++)
        {
            var damaged = chunk.ToArray();
            damaged[at] ^= 0x10;
            Assert.Null(RowChunk.Decode(damaged, out var fault));
            Assert.NotNull(fault);
        }
    });

    [Fact]
    public void Any_cut_is_noticed() => Assert.All([ArchiveBench.PlausibleRun(40), ArchiveBench.PlausibleSignalRun(40), BenchRun(40), SecondRun(40)], rows =>
    {
        var chunk = RowChunk.Encode(rows);
        for (var length = 0; length < chunk.Length; length++)
        {
            Assert.Null(RowChunk.Decode(chunk.AsSpan(0, length), out var fault));
            Assert.NotNull(fault);
        }
    });

    [Fact]
    public void A_chunk_of_a_later_version_is_refused_by_its_version()
    {
        var chunk = RowChunk.Encode(ArchiveBench.PlausibleRun(2));
        chunk[0] = RowChunk.NewestVersion + 1;

        Assert.Null(RowChunk.Decode(chunk, out var fault));
        Assert.Equal("its format version is 5; this program reads versions 1 to 4", fault);
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
        Gen.Select(Gen.Byte.Array[0, 400], Gen.Byte[0, 5], Gen.Byte[0, 3], Gen.Int[-2, 70_000]).Sample((body, version, packing, claimed) =>
        {
            var chunk = new byte[10 + body.Length];
            (chunk[0], chunk[1]) = (version, packing);
            BinaryPrimitives.WriteInt32LittleEndian(chunk.AsSpan(2), claimed);
            body.CopyTo(chunk, 10);
            Reseal(chunk);
            return RowChunk.Decode(chunk, out var fault) is { } rows ? rows.Length == claimed && fault is null : fault is { Length: > 0 };
        }, iter: 3000);

    [Fact]
    public void Changed_real_chunks_with_a_right_checksum_give_rows_or_a_fault_and_never_an_exception() => Assert.All([ArchiveBench.PlausibleRun(300), ArchiveBench.PlausibleSignalRun(300), BenchRun(300), SecondRun(300)], rows =>
    {
        var good = RowChunk.Encode(rows);
        Gen.Select(Gen.Int[10, good.Length - 1], Gen.Byte).Array[1, 8].Sample(changes => IsRowsOrFault(Changed(good, changes), 300), iter: 2000);
    });

    // Not packed, so that the changes are those of the rows themselves and reach the checks of channels, marks and kinds.
    [Fact]
    public void Changed_plain_bodies_give_rows_that_can_be_stored_again_or_a_fault() =>
        Gen.OneOf(SignalRow, BenchRow, SecondRow).Array[3].Select(rows => RowChunk.Encode(rows)).Where(good => good is [2 or 3 or 4, 0, ..])
            .SelectMany(good => Gen.Select(Gen.Int[10, good.Length - 1], Gen.Byte).Array[1, 4].Select(changes => Changed(good, changes)))
            .Sample(chunk => IsRowsOrFault(chunk, 3), iter: 3000);

    [Fact]
    public void A_plausible_run_takes_less_than_a_sixth_of_its_plain_size()
    {
        var chunk = RowChunk.Encode(ArchiveBench.PlausibleRun(1024));

        output.WriteLine($"{chunk.Length / 1024.0:0.00} bytes a row in a chunk of 1024");
        // Plain: three doubles and a byte of marks, 25 bytes a row.
        Assert.True(chunk.Length < 1024 * 25 / 6);
    }

    [Fact]
    public void A_plausible_run_with_signals_takes_less_than_a_sixth_of_its_plain_size()
    {
        var chunk = RowChunk.Encode(ArchiveBench.PlausibleSignalRun(1024));

        output.WriteLine($"{chunk.Length / 1024.0:0.00} bytes a row in a chunk of 1024");
        // Plain: five doubles and three bytes of channels and marks, 43 bytes a row.
        Assert.True(chunk.Length < 1024 * 43 / 6);
    }

    // A stirrer, a test flame and a room beside the run: what is told seldom changes and costs next to nothing.
    [Fact]
    public void A_run_that_tells_of_its_bench_takes_hardly_more()
    {
        var (plain, told) = (RowChunk.Encode(ArchiveBench.PlausibleSignalRun(1024)), RowChunk.Encode(BenchRun(1024)));

        output.WriteLine($"{told.Length / 1024.0:0.00} bytes a row in a chunk of 1024, {plain.Length / 1024.0:0.00} without the bench");
        Assert.Equal(3, told[0]);
        Assert.True(told.Length < plain.Length + 1024);
    }

    // Noise in the last of four decimals, as of the first detector.
    [Fact]
    public void A_run_with_a_second_detector_takes_less_than_two_bytes_a_row_more()
    {
        var (plain, told) = (RowChunk.Encode(BenchRun(1024)), RowChunk.Encode(SecondRun(1024)));

        output.WriteLine($"{told.Length / 1024.0:0.00} bytes a row in a chunk of 1024, {plain.Length / 1024.0:0.00} without the second detector");
        Assert.Equal(4, told[0]);
        Assert.True(told.Length < plain.Length + 2048);
    }

    private static ReadingRow[] SecondRun(int rows) => [.. BenchRun(rows).Select((row, i) => Second(row) with { SecondDetector = Math.Round(14.2 + (i * 7 % 11 * 0.0001), 4) })];

    private static ReadingRow Second(ReadingRow row) => row with { Present = row.Present | RowChannels.SecondDetector, SecondDetector = Math.Sinh(row.AtSeconds) };

    private static ReadingRow[] BenchRun(int rows) => [.. ArchiveBench.PlausibleSignalRun(rows).Select((row, i) => row with
    {
        Present = row.Present | RowChannels.Command | RowChannels.Heater | RowChannels.Stirrer | RowChannels.Lit | RowChannels.Ambient,
        Command = 40 + (i / 25),
        HeaterFraction = 0.375,
        StirrerRevolutionsPerMinute = i % 200 < 20 ? 0 : 105,
        Lit = true,
        AmbientCelsius = 23.1,
    })];

    private static ReadingRow Bench(ReadingRow row) => row with
    {
        Present = row.Present | RowChannels.Command | RowChannels.Heater | ReadingRow.BenchChannels,
        Command = BitConverter.DoubleToInt64Bits(Math.Tan(row.AtSeconds)),
        HeaterFraction = Math.Exp(-row.AtSeconds),
        StirrerRevolutionsPerMinute = Math.Exp(row.AtSeconds),
        Stirring = true,
        Lit = true,
        AirMetresPerSecond = Math.Sqrt(row.AtSeconds),
        AmbientCelsius = Math.Log(row.AtSeconds),
    };

    private static byte[] Changed(byte[] good, (int At, byte Value)[] changes)
    {
        var chunk = good.ToArray();
        foreach (var (at, value) in changes)
        {
            chunk[at] = value;
        }

        Reseal(chunk);
        return chunk;
    }

    private static bool IsRowsOrFault(byte[] chunk, int count) => RowChunk.Decode(chunk, out var fault) is { } rows
        ? rows.Length == count && fault is null && rows.All(row => RowChunk.CanHold(row with { AtSeconds = 0 }))
        : fault is { Length: > 0 };

    private static ReadingRow[] Decoded(byte[] chunk) => RowChunk.Decode(chunk, out var fault) ?? throw new InvalidOperationException(fault);

    // An independent, slow way to the checksum: the bytes one by one.
    private static void Reseal(byte[] chunk)
    {
        var crc = chunk.Take(6).Concat(chunk.Skip(10)).Aggregate(uint.MaxValue, (sum, value) => BitOperations.Crc32C(sum, value));
        BinaryPrimitives.WriteUInt32LittleEndian(chunk.AsSpan(6), ~crc);
    }
}
