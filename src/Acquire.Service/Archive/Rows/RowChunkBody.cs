using System.Buffers;
using System.Diagnostics;
using System.Globalization;
using Acquire.Core.Readings;

namespace Acquire.Service.Archive.Rows;

/// <summary>What stands where in the body of a chunk before it is packed, for every version of the format.</summary>
/// <remarks>
/// One byte of bits a row: 0 to 2 temperature, detector and flame are there, 3 flame over, and from version 2 on 4 signal, 5 junction.
/// From version 2 on, two planes of bytes with the rows' <see cref="ReadingMarks"/>, low bytes first. From version 3 on, two planes more:
/// bits 0 to 6 of the first say that command, heater, stirrer, stirring, lit, air and ambient are there, and from version 4 on bit 7 the second detector;
/// bits 0 and 1 of the second are the values of stirring and lit. Then a kind for each column of numbers, then their planes, see <see cref="NumberColumn"/>:
/// time, temperature, detector, from version 2 on signal and junction, from version 3 on command (the bits of a whole number), heater, stirrer, air and ambient,
/// and from version 4 on the second detector.
/// </remarks>
internal static class RowChunkBody
{
    /// <summary>Rows without signal, junction and marks.</summary>
    public const byte PlainVersion = 1;

    /// <summary>Rows with any of them.</summary>
    public const byte SignalVersion = 2;

    /// <summary>Rows that tell of the tester and the bench: drive command, heater, stirrer, test flame, air, room.</summary>
    public const byte BenchVersion = 3;

    /// <summary>Rows with a second detector.</summary>
    public const byte SecondDetectorVersion = 4;

    private const int MostBytePlanes = 5;
    private const int MostColumns = 11;
    private const int FlameOverBit = 8;
    private const RowChannels FirstChannels = RowChannels.Temperature | RowChannels.Detector | RowChannels.Flame;
    private const RowChannels SignalChannels = RowChannels.Signal | RowChannels.Junction;
    private const RowChannels BenchChannels = RowChannels.Command | RowChannels.Heater | ReadingRow.BenchChannels;
    private const int BenchShift = 5;
    private const int StirringBit = 1;
    private const int LitBit = 2;
    private const int SecondDetectorColumn = 10;
    private const int SecondDetectorBit = 128;

    /// <summary>The channels that can be stored.</summary>
    public const RowChannels AllChannels = FirstChannels | SignalChannels | BenchChannels | RowChannels.SecondDetector;

    /// <summary>Bytes that a row takes in a body, at most.</summary>
    public const int BytesPerRowAtMost = MostBytePlanes + (MostColumns * NumberColumn.BytesPerValue);

    /// <summary>Bytes that a body takes besides its rows, at most.</summary>
    public const int BytesBesidesRowsAtMost = MostColumns;

    /// <summary>Whether this program knows the version.</summary>
    public static bool Knows(byte version) => version is >= PlainVersion and <= SecondDetectorVersion;

    /// <summary>The oldest version that holds all of the rows, so that what an older program can read stays so.</summary>
    public static byte VersionFor(ReadOnlySpan<ReadingRow> rows)
    {
        var version = PlainVersion;
        foreach (ref readonly var row in rows)
        {
            // Bits, not values: -0.0 in a field that says nothing is kept as well.
            if (row.Has(RowChannels.SecondDetector) || BitConverter.DoubleToInt64Bits(row.SecondDetector) != 0)
            {
                return SecondDetectorVersion;
            }

            var bench = row.Command | BitConverter.DoubleToInt64Bits(row.HeaterFraction) | BitConverter.DoubleToInt64Bits(row.StirrerRevolutionsPerMinute)
                | BitConverter.DoubleToInt64Bits(row.AirMetresPerSecond) | BitConverter.DoubleToInt64Bits(row.AmbientCelsius);
            if ((row.Present & BenchChannels) != 0 || row.Stirring || row.Lit || bench != 0)
            {
                version = BenchVersion;
            }

            var fields = BitConverter.DoubleToInt64Bits(row.Signal) | BitConverter.DoubleToInt64Bits(row.JunctionCelsius);
            if ((row.Present & SignalChannels) != 0 || row.Marks != ReadingMarks.None || fields != 0)
            {
                version = Math.Max(version, SignalVersion);
            }
        }

        return version;
    }

    /// <summary>Length of a body, bytes.</summary>
    public static int Length(byte version, int rows) => Columns(version) + (rows * (BytePlanes(version) + (Columns(version) * NumberColumn.BytesPerValue)));

    /// <summary>Planes of a body: a byte of each row one after the other.</summary>
    public static int Planes(byte version) => BytePlanes(version) + (Columns(version) * NumberColumn.BytesPerValue);

    /// <summary>Where in a body the kinds of its columns stand: the only bytes that are in no plane.</summary>
    public static Range KindsOf(byte version, int rows) => (BytePlanes(version) * rows)..((BytePlanes(version) * rows) + Columns(version));

    /// <summary>Where a plane begins.</summary>
    public static int PlaneAt(byte version, int rows, int plane) => (plane * rows) + (plane < BytePlanes(version) ? 0 : Columns(version));

    /// <summary>Writes rows that the version holds to a body of its <see cref="Length"/>.</summary>
    public static void Write(byte version, ReadOnlySpan<ReadingRow> rows, Span<byte> body)
    {
        WriteBits(version, rows, body);
        var columns = Columns(version);
        var kinds = body.Slice(BytePlanes(version) * rows.Length, columns);
        var planes = body[((BytePlanes(version) * rows.Length) + columns)..];
        var planeBytes = rows.Length * NumberColumn.BytesPerValue;
        var values = ArrayPool<double>.Shared.Rent(rows.Length);
        for (var column = 0; column < columns; column++)
        {
            for (var i = 0; i < rows.Length; i++)
            {
                values[i] = Value(rows[i], column);
            }

            kinds[column] = NumberColumn.Pack(values.AsSpan(0, rows.Length), planes.Slice(column * planeBytes, planeBytes));
        }

        ArrayPool<double>.Shared.Return(values);
    }

    /// <summary>Reads a body of the <see cref="Length"/> that its version and number of rows ask for. Returns null and says what is wrong where it holds what this program does not know.</summary>
    public static ReadingRow[]? Read(byte version, ReadOnlySpan<byte> body, int count, out string? fault)
    {
        var columns = Columns(version);
        var kinds = body.Slice(BytePlanes(version) * count, columns);
        fault = UnknownBits(version, body, count) ?? UnknownKind(kinds);
        if (fault is not null)
        {
            return null;
        }

        var planeBytes = count * NumberColumn.BytesPerValue;
        var planes = body[((BytePlanes(version) * count) + columns)..];
        var values = new double[columns * count];
        for (var column = 0; column < columns; column++)
        {
            NumberColumn.Unpack(kinds[column], planes.Slice(column * planeBytes, planeBytes), values.AsSpan(column * count, count));
        }

        var rows = new ReadingRow[count];
        for (var i = 0; i < count; i++)
        {
            var row = new ReadingRow(values[i], Channels(body[i]), values[count + i], values[(2 * count) + i], (body[i] & FlameOverBit) != 0);
            row = version == PlainVersion ? row : row with
            {
                Signal = values[(3 * count) + i],
                JunctionCelsius = values[(4 * count) + i],
                Marks = Marks(body, count, i),
            };
            row = version < BenchVersion ? row : WithBench(row, body, values, count, i);
            rows[i] = version < SecondDetectorVersion ? row : row with { SecondDetector = values[(10 * count) + i] };
        }

        return rows;
    }

    /// <summary>Reads only what a curve needs of a body, checked as <see cref="Read"/> checks it.</summary>
    public static bool TryReadCurve(byte version, ReadOnlySpan<byte> body, CurveColumns into, out string? fault)
    {
        var (count, columns, planes) = (into.Count, Columns(version), BytePlanes(version));
        var kinds = body.Slice(planes * count, columns);
        fault = UnknownBits(version, body, count) ?? UnknownKind(kinds);
        if (fault is not null)
        {
            return false;
        }

        for (var column = 0; column < CurveColumns.Numbers; column++)
        {
            var stored = column == CurveColumns.Second ? SecondDetectorColumn : column;
            if (stored < columns)
            {
                NumberColumn.Unpack(kinds[stored], body.Slice((planes * count) + columns + (stored * count * NumberColumn.BytesPerValue), count * NumberColumn.BytesPerValue), into.Column(column));
            }
        }

        for (var i = 0; i < count; i++)
        {
            var second = version >= SecondDetectorVersion && (body[(3 * count) + i] & SecondDetectorBit) != 0;
            var sound = version == PlainVersion || (Marks(body, count, i) & ReadingMarks.Unused) == 0;
            into.Present[i] = (byte)((body[i] & (int)(sound ? FirstChannels : FirstChannels & ~RowChannels.Temperature)) | ((body[i] & FlameOverBit) != 0 ? CurveColumns.FlameOver : 0) | (second ? CurveColumns.HasSecond : 0));
        }

        return true;
    }

    private static ReadingRow WithBench(in ReadingRow row, ReadOnlySpan<byte> body, double[] values, int count, int i) => row with
    {
        Present = row.Present | (RowChannels)(body[(3 * count) + i] << BenchShift),
        Stirring = (body[(4 * count) + i] & StirringBit) != 0,
        Lit = (body[(4 * count) + i] & LitBit) != 0,
        Command = BitConverter.DoubleToInt64Bits(values[(5 * count) + i]),
        HeaterFraction = values[(6 * count) + i],
        StirrerRevolutionsPerMinute = values[(7 * count) + i],
        AirMetresPerSecond = values[(8 * count) + i],
        AmbientCelsius = values[(9 * count) + i],
    };

    private static int BytePlanes(byte version) => version switch
    {
        PlainVersion => 1,
        SignalVersion => 3,
        _ => MostBytePlanes,
    };

    private static int Columns(byte version) => version switch
    {
        PlainVersion => 3,
        SignalVersion => 5,
        BenchVersion => 10,
        _ => MostColumns,
    };

    private static double Value(in ReadingRow row, int column) => column switch
    {
        0 => row.AtSeconds,
        1 => row.TemperatureCelsius,
        2 => row.Detector,
        3 => row.Signal,
        4 => row.JunctionCelsius,
        5 => BitConverter.Int64BitsToDouble(row.Command),
        6 => row.HeaterFraction,
        7 => row.StirrerRevolutionsPerMinute,
        8 => row.AirMetresPerSecond,
        9 => row.AmbientCelsius,
        10 => row.SecondDetector,
        _ => throw new UnreachableException(),
    };

    private static void WriteBits(byte version, ReadOnlySpan<ReadingRow> rows, Span<byte> body)
    {
        for (var i = 0; i < rows.Length; i++)
        {
            ref readonly var row = ref rows[i];
            // The channels that came later stand behind the flame's bit, which had its place already.
            body[i] = (byte)((int)(row.Present & FirstChannels) | (row.FlameOver ? FlameOverBit : 0) | ((int)(row.Present & SignalChannels) << 1));
            if (version != PlainVersion)
            {
                body[rows.Length + i] = (byte)((int)row.Marks & 0xFF);
                body[(2 * rows.Length) + i] = (byte)((int)row.Marks >> 8);
            }

            if (version >= BenchVersion)
            {
                body[(3 * rows.Length) + i] = (byte)((int)(row.Present & BenchPlane(version)) >> BenchShift);
                body[(4 * rows.Length) + i] = (byte)((row.Stirring ? StirringBit : 0) | (row.Lit ? LitBit : 0));
            }
        }
    }

    // The second detector came last and has the last bit of the bench's byte.
    private static RowChannels BenchPlane(byte version) => version < SecondDetectorVersion ? BenchChannels : BenchChannels | RowChannels.SecondDetector;

    private static RowChannels Channels(byte bits) => ((RowChannels)bits & FirstChannels) | ((RowChannels)(bits >> 1) & SignalChannels);

    private static ReadingMarks Marks(ReadOnlySpan<byte> body, int count, int row) => (ReadingMarks)(body[count + row] | (body[(2 * count) + row] << 8));

    private static string? UnknownBits(byte version, ReadOnlySpan<byte> body, int count)
    {
        var known = (byte)((int)FirstChannels | FlameOverBit | (version == PlainVersion ? 0 : (int)SignalChannels << 1));
        var row = body[..count].IndexOfAnyExceptInRange((byte)0, known);
        if (row >= 0)
        {
            return string.Create(CultureInfo.InvariantCulture, $"row {row} carries the bits 0x{body[row]:X2}; this program knows those of 0x{known:X2}");
        }

        for (var i = 0; version != PlainVersion && i < count; i++)
        {
            if ((Marks(body, count, i) & ~ReadingMarks.All) is not ReadingMarks.None and var unknown)
            {
                return string.Create(CultureInfo.InvariantCulture, $"row {i} carries the reading marks 0x{(int)unknown:X4} that this program does not know");
            }
        }

        return version < BenchVersion ? null : UnknownBenchBits(version, body, count);
    }

    private static string? UnknownBenchBits(byte version, ReadOnlySpan<byte> body, int count)
    {
        foreach (var (plane, known) in new[] { (3, (byte)((int)BenchPlane(version) >> BenchShift)), (4, (byte)(StirringBit | LitBit)) })
        {
            var row = body.Slice(plane * count, count).IndexOfAnyExceptInRange((byte)0, known);
            if (row >= 0)
            {
                return string.Create(CultureInfo.InvariantCulture, $"row {row} carries the bench bits 0x{body[(plane * count) + row]:X2}; this program knows those of 0x{known:X2}");
            }
        }

        return null;
    }

    private static string? UnknownKind(ReadOnlySpan<byte> kinds)
    {
        var column = kinds.IndexOfAnyExceptInRange(NumberColumn.Bits, NumberColumn.HighestKind);
        return column < 0 ? null : string.Create(CultureInfo.InvariantCulture, $"its column {column} is of the kind {kinds[column]}; this program knows {NumberColumn.Bits} to {NumberColumn.HighestKind}");
    }
}
