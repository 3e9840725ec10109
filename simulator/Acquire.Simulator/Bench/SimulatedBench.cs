using System.Text.Json.Serialization;
using Acquire.Core.Readings;

namespace Acquire.Simulator;

/// <summary>What a simulated tester tells of its bench, and what goes wrong there.</summary>
public sealed record SimulatedBench
{
    /// <summary>A tester that tells nothing of its bench, where nothing goes wrong.</summary>
    public static SimulatedBench Silent { get; } = new();

    /// <summary>Which of the <see cref="ReadingRow.BenchChannels"/> the rows carry; the stirrer's speed or whether it turns, not both.</summary>
    [JsonConverter(typeof(JsonStringEnumConverter<RowChannels>))]
    public RowChannels Channels { get; init; }

    /// <summary>What goes wrong, and when; at most 100.</summary>
    public IReadOnlyList<BenchFault> Faults { get; init; } = [];

    /// <summary>Whether a fault is there at a moment, s.</summary>
    internal bool Has(BenchFaultKind kind, double seconds)
    {
        foreach (var fault in Faults)
        {
            if (fault.Kind == kind && fault.IsAt(seconds))
            {
                return true;
            }
        }

        return false;
    }
}
