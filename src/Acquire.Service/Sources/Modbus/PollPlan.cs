using Acquire.Service.Configuration;

namespace Acquire.Service.Sources.Modbus;

/// <summary>One request of a tester, and what its answer holds.</summary>
/// <param name="Request">What is asked.</param>
/// <param name="Values">The values in the answer, in the order of their addresses.</param>
public sealed record PlannedPoll(ReadRequest Request, IReadOnlyList<RegisterConfig> Values);

/// <summary>Which requests bring all values of a tester: neighbours are read together.</summary>
public static class PollPlan
{
    /// <summary>The requests, by unit, table and address.</summary>
    /// <param name="source">The values, and how many registers that nobody wants may be read along.</param>
    public static IReadOnlyList<PlannedPoll> Make(SourceConfig.Modbus source)
    {
        ArgumentNullException.ThrowIfNull(source);
        var polls = new List<PlannedPoll>();
        foreach (var table in source.Registers.GroupBy(register => (register.UnitId, register.Table)).OrderBy(group => group.Key))
        {
            polls.AddRange(Merge([.. table.OrderBy(register => register.Address)], source.LargestGap));
        }

        return polls;
    }

    private static IEnumerable<PlannedPoll> Merge(RegisterConfig[] sorted, int largestGap)
    {
        var first = 0;
        var end = sorted[0].Address + sorted[0].Registers;
        for (var next = 1; next <= sorted.Length; next++)
        {
            if (next < sorted.Length && sorted[next] is var value && value.Address - end <= largestGap
                && Math.Max(end, value.Address + value.Registers) - sorted[first].Address <= ReadRequest.MostRegisters)
            {
                end = Math.Max(end, value.Address + value.Registers);
                continue;
            }

            yield return new(new(sorted[first].UnitId, sorted[first].Table, sorted[first].Address, end - sorted[first].Address), sorted[first..next]);
            (first, end) = next < sorted.Length ? (next, sorted[next].Address + sorted[next].Registers) : (next, end);
        }
    }
}
