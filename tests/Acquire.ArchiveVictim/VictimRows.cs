using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;

namespace Acquire.ArchiveVictim;

/// <summary>Rows and facts that follow from their index alone, so that a test knows them without having seen them.</summary>
public static class VictimRows
{
    // Not a multiple of a chunk's rows: chunks then hold rows with and without a signal, and a tail becomes one with while it grows.
    private const int RowsOfAKind = 40;

    /// <summary>The row at an index: 50 rows a second, a slow ramp, a detector whose every bit counts; by turns without and with a thermometer's signal, and with what is told of the bench and a second detector.</summary>
    public static ReadingRow At(long index)
    {
        var bits = Mixed(index);
        var detector = BitConverter.Int64BitsToDouble(bits);
        var row = new ReadingRow(index * 0.02, (RowChannels)(bits & 7), 20 + (index * 0.0018), double.IsFinite(detector) ? detector : -0.0, (bits & 8) != 0);
        if (index / RowsOfAKind % 3 == 0)
        {
            return row;
        }

        var signal = row with
        {
            Present = row.Present | (RowChannels)(bits & 24),
            Signal = 800 + index,
            JunctionCelsius = row.Detector,
            Marks = (ReadingMarks)(bits >> 32) & ReadingMarks.All,
        };
        return index / RowsOfAKind % 3 == 1 ? signal : signal with
        {
            Present = signal.Present | ((RowChannels)((bits >> 8) & 0xFFF) & (RowChannels.Command | RowChannels.Heater | ReadingRow.BenchChannels)) | (RowChannels)((bits >> 20) & (long)RowChannels.SecondDetector),
            Command = index,
            Lit = (bits & 32) != 0,
            Stirring = (bits & 64) != 0,
            AmbientCelsius = 23,
            SecondDetector = signal.Detector,
        };
    }

    /// <summary>The fact at an index.</summary>
    public static RunOutput FactAt(int index) => new FindingRaised(index, new Finding("victim-fact", FindingWeight.Note, index, null, index, null, $"fact {index}"));

    // The finaliser of SplitMix64: every bit of the result hangs on every bit of the index.
    internal static long Mixed(long index)
    {
        unchecked
        {
            var z = (ulong)index * 0x9E3779B97F4A7C15UL;
            z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9UL;
            z = (z ^ (z >> 27)) * 0x94D049BB133111EBUL;
            return (long)(z ^ (z >> 31));
        }
    }
}
