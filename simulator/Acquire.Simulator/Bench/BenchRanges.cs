using System.Globalization;
using Acquire.Core;
using Acquire.Core.Readings;

namespace Acquire.Simulator;

/// <summary>What a simulated tester can tell of its bench.</summary>
internal static class BenchRanges
{
    private const int MostFaults = 100;

    public static IEnumerable<InputError> Check(SimulatedBench bench)
    {
        if ((bench.Channels & ~ReadingRow.BenchChannels) != 0 || bench.Channels.HasFlag(RowChannels.Stirrer | RowChannels.Stirring))
        {
            yield return new("bench.channels", $"'{bench.Channels}' is not made of stirrer or stirring, lit, air, ambient");
        }

        if (bench.Faults.Count > MostFaults)
        {
            yield return new("bench.faults", $"{bench.Faults.Count} faults are more than {MostFaults}");
            yield break;
        }

        for (var i = 0; i < bench.Faults.Count; i++)
        {
            var (_, start, length) = bench.Faults[i];
            if (!(start is >= 0 and <= SimulatedFault.LongestSeconds && length is >= 0.001 and <= SimulatedFault.LongestSeconds))
            {
                yield return new($"bench.faults[{i}]", string.Create(CultureInfo.InvariantCulture, $"a start of {start} s or a length of {length} s is not within 0 to {SimulatedFault.LongestSeconds} s and 0.001 to {SimulatedFault.LongestSeconds} s"));
            }
        }
    }
}
