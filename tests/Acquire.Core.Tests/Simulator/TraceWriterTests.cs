using System.Globalization;
using System.Text.Json;
using Acquire.Core.Readings;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator;

public sealed class TraceWriterTests
{
    [Theory]
    [InlineData(true, "time_s,temperature_c,detector,flame")]
    [InlineData(false, "time_s,temperature_c,detector")]
    public async Task A_trace_reads_back_to_the_same_rows(bool hasFlame, string header)
    {
        var run = new SimulatedRun(Specimens.BaseOil(13) with { HasFlameSignal = hasFlame, TimestampJitterSeconds = 0.002, Scene = DetectorScene.Hard with { UnitsPerSigma = 0.001, StepUnits = 1e-4, Baseline = -3 } });
        using var writer = new StringWriter(CultureInfo.InvariantCulture);

        await TraceWriter.WriteAsync(run, writer, TestContext.Current.CancellationToken);

        var lines = writer.ToString().Split('\n');
        Assert.Equal(header, lines[0]);
        Assert.Equal("", lines[^1]);
        Assert.Equal(run.ToArray(), lines[1..^1].Select(Parse));
    }

    [Fact]
    public async Task What_is_told_of_the_bench_reads_back_to_the_same_rows_and_follows_the_faults()
    {
        var faults = new BenchFault[] { new(BenchFaultKind.Draught, 100, 50), new(BenchFaultKind.FlameOut, 200, 60), new(BenchFaultKind.RoomWarms, 0, 300) };
        var run = new SimulatedRun(Specimens.BaseOil(13) with { Bench = new() { Channels = RowChannels.Stirring | RowChannels.Lit | RowChannels.Air | RowChannels.Ambient, Faults = faults } });
        using var writer = new StringWriter(CultureInfo.InvariantCulture);

        await TraceWriter.WriteAsync(run, writer, TestContext.Current.CancellationToken);

        var trace = TraceReader.Read("cup.csv", writer.ToString().Split('\n'));
        Assert.Empty(trace.Errors);
        Assert.Equal(run.ToArray(), trace.Rows);
        Assert.StartsWith("time_s,temperature_c,detector,flame,stirring,lit,air_m_s,ambient_c\n", writer.ToString(), StringComparison.Ordinal);
        Assert.All(trace.Rows, row => Assert.Equal((row.AtSeconds is < 200 or >= 260, row.AtSeconds is >= 100 and < 150), (row.Lit, row.AirMetresPerSecond > 0.3)));
        Assert.InRange(trace.Rows[^1].AmbientCelsius - trace.Rows[0].AmbientCelsius, 5.8, 6.2);
        Assert.Equal(run.Options.Bench.Faults, TraceWriter.ParseTruth(TraceWriter.TruthJson(run.Truth)).Options.Bench.Faults);
    }

    [Fact]
    public async Task The_truth_lies_beside_the_trace_and_makes_the_same_run_again()
    {
        var folder = Directory.CreateTempSubdirectory("acquire-trace-");
        try
        {
            var run = new SimulatedRun(Specimens.BaseOil(14) with { FireCelsius = null, Excursion = new(40, 20, 9) });
            var path = Path.Combine(folder.FullName, "cup.csv");

            var truthPath = await TraceWriter.WriteAsync(run, path, TestContext.Current.CancellationToken);

            Assert.Equal(Path.Combine(folder.FullName, "cup.truth.json"), truthPath);
            var truth = TraceWriter.ParseTruth(await File.ReadAllTextAsync(truthPath, TestContext.Current.CancellationToken));
            Assert.Equal(run.Truth.Applications, truth.Applications);
            Assert.Equal(run.Truth.Flash, truth.Flash);
            Assert.Equal(run.Options, truth.Options);
            Assert.Equal(run, new SimulatedRun(truth.Options));
            Assert.Equal(run.Count() + 1, (await File.ReadAllLinesAsync(path, TestContext.Current.CancellationToken)).Length);
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    [Fact]
    public void A_truth_with_a_method_that_is_not_in_the_catalogue_is_refused_by_name()
    {
        var json = TraceWriter.TruthJson(new SimulatedRun(Specimens.BaseOil()).Truth).Replace("iso-2592-2017", "iso-0", StringComparison.Ordinal);

        var refusal = Assert.Throws<JsonException>(() => TraceWriter.ParseTruth(json));

        Assert.Contains("iso-0", refusal.Message, StringComparison.Ordinal);
    }

    private static ReadingRow Parse(string line)
    {
        var cells = line.Split(',');
        Assert.False(line.Contains('E', StringComparison.Ordinal), "numbers are written without exponents");
        var present = RowChannels.Temperature | RowChannels.Detector | (cells.Length == 4 ? RowChannels.Flame : 0);
        return new(Number(cells[0]), present, Number(cells[1]), Number(cells[2]), cells.Length == 4 && cells[3] == "1");
    }

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
