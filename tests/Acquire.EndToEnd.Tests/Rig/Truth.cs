using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Simulator;
using Xunit;

namespace Acquire.EndToEnd.Tests.Rig;

/// <summary>Holds what the service says against what really happened.</summary>
internal static class Truth
{
    /// <summary>Flash and fire point lie within two degrees of the simulated ones.</summary>
    public static void AssertMet(SimulatedTruth truth, RunResult? result, string of = "the run")
    {
        Assert.True(result is not null, $"{of} has no result");
        AssertNear(truth.Flash!.TemperatureCelsius, result.Flash?.ObservedCelsius, $"flash point of {of}");
        AssertNear(truth.Fire!.TemperatureCelsius, result.Fire?.ObservedCelsius, $"fire point of {of}");
    }

    /// <summary>A temperature lies within two degrees of the true one.</summary>
    public static void AssertNear(double truth, double? found, string what) => Assert.True(
        found is { } celsius && Math.Abs(celsius - truth) <= Specimens.ToleranceCelsius, $"{what}: found {found?.ToString() ?? "none"} °C, it was {truth} °C");

    /// <summary>The record holds exactly these rows, to the last bit, in order.</summary>
    public static void AssertSame(IEnumerable<ReadingRow> sent, IReadOnlyList<ReadingRow> archived)
    {
        var index = 0;
        foreach (var row in sent)
        {
            Assert.True(index < archived.Count, $"the record ends after {archived.Count} rows; row {index} is missing");
            Assert.True(row.Equals(archived[index]), $"row {index}: sent {row}, archived {archived[index]}");
            index++;
        }

        Assert.Equal(index, archived.Count);
    }
}
