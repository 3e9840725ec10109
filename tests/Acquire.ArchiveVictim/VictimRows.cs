using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;

namespace Acquire.ArchiveVictim;

/// <summary>Rows and facts that follow from their index alone, so that a test knows them without having seen them.</summary>
public static class VictimRows
{
    /// <summary>The row at an index: 50 rows a second, a slow ramp, a detector whose every bit counts.</summary>
    public static ReadingRow At(long index)
    {
        var bits = Mixed(index);
        var detector = BitConverter.Int64BitsToDouble(bits);
        return new ReadingRow(index * 0.02, (RowChannels)(bits & 7), 20 + (index * 0.0018), double.IsFinite(detector) ? detector : -0.0, (bits & 8) != 0);
    }

    /// <summary>The fact at an index.</summary>
    public static RunOutput FactAt(int index) => new FindingRaised(index, new Finding("victim-fact", FindingWeight.Note, index, null, index, null, $"fact {index}"));

    // The finaliser of SplitMix64: every bit of the result hangs on every bit of the index.
    private static long Mixed(long index)
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
