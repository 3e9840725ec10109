using Acquire.Core;
using Acquire.Core.Readings;
using Acquire.Simulator;

namespace Acquire.Service.CommandLine;

/// <summary>What a simulated tester is to tell of its bench, by words.</summary>
internal static class BenchArgument
{
    public const string Description = "What the tester tells beside thermometer, detector and flame, joined by commas: stirrer (r/min) or stirring (0, 1), lit, air (m/s), ambient (degC). Such as stirrer,lit.";

    private static readonly Dictionary<string, RowChannels> Words = new()
    {
        ["stirrer"] = RowChannels.Stirrer,
        ["stirring"] = RowChannels.Stirring,
        ["lit"] = RowChannels.Lit,
        ["air"] = RowChannels.Air,
        ["ambient"] = RowChannels.Ambient,
    };

    /// <summary>Reads the words and the faults; ranges are for <see cref="SimulatorOptions.Check"/>.</summary>
    public static bool TryRead(string? words, IEnumerable<string>? faults, out SimulatedBench bench, out IReadOnlyList<InputError> errors)
    {
        var found = new List<InputError>();
        var channels = RowChannels.None;
        foreach (var word in (words ?? "").Split(',', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries))
        {
            if (!Words.TryGetValue(word, out var channel))
            {
                found.Add(new("--bench", $"'{word}' is nothing that a bench tells; there are {string.Join(", ", Words.Keys)}"));
            }

            channels |= channel;
        }

        var wrong = new List<BenchFault>();
        foreach (var text in faults ?? [])
        {
            if (BenchFault.TryParse(text, "--bench-fault", out var fault, out var error))
            {
                wrong.Add(fault);
            }
            else
            {
                found.Add(error);
            }
        }

        bench = channels == RowChannels.None && wrong.Count == 0 ? SimulatedBench.Silent : new() { Channels = channels, Faults = wrong };
        errors = found;
        return found.Count == 0;
    }
}
