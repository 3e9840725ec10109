using System.Text;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Core.Thermometry;
using Acquire.Service.Archive;
using Acquire.Service.Live.Api;
using Acquire.Service.Tests.Archive;
using CsCheck;
using Microsoft.AspNetCore.Http;
using Xunit;

namespace Acquire.Service.Tests.Live;

public sealed class ReadingsCsvTests : IDisposable
{
    private readonly ArchiveBench _bench = new();
    private int _runs;

    public void Dispose() => _bench.Dispose();

    [Theory(Timeout = 30000)]
    [InlineData(true, "time_s,temperature_c,detector,flame\r\n0,-0,0.30000000000000004,1\r\n0.5,,,\r\n")]
    [InlineData(false, "time_s,temperature_c,detector\r\n0,-0,0.30000000000000004\r\n0.5,,\r\n")]
    public async Task A_plain_run_has_the_columns_it_always_had(bool flame, string expected)
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var archive = _bench.Open();
        const RowChannels all = RowChannels.Temperature | RowChannels.Detector | RowChannels.Flame;

        // The last row's values belong to channels that are not there.
        Assert.Equal(expected, await CsvAsync(archive, ArchiveBench.Plan with { HasFlameSignal = flame }, [
            new(0, all, -0.0, 0.1 + 0.2, true),
            new(0.5, RowChannels.None, 7, 7, true) { Signal = 7, JunctionCelsius = 7 },
        ], cancel));
    }

    [Fact(Timeout = 30000)]
    public async Task Signal_junction_and_marks_follow_with_empty_fields_where_a_row_has_none()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var archive = _bench.Open();

        var csv = await CsvAsync(archive, ArchiveBench.Plan with { Thermometer = ArchiveBench.Thermocouple }, [
            new(0, RowChannels.Temperature | RowChannels.Signal | RowChannels.Junction, 24.5, 0, false) { Signal = -12, JunctionCelsius = 23.87 },
            new(0.1, RowChannels.Signal, 0, 0, false) { Signal = 32_767, Marks = ReadingMarks.ConverterSaturated | ReadingMarks.OpenCircuit },
            new(0.2, RowChannels.Detector | RowChannels.Flame, 0, 1, true),
        ], cancel);

        Assert.Equal(
            "time_s,temperature_c,detector,flame,thermometer_uv,junction_c,thermometer_marks\r\n" +
            "0,24.5,,,-12,23.87,\r\n" +
            "0.1,,,,32767,,open-circuit+converter-saturated\r\n" +
            "0.2,,1,1,,,\r\n",
            csv);
    }

    [Fact(Timeout = 30000)]
    public async Task What_the_tester_tells_of_itself_and_of_the_bench_follows()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var archive = _bench.Open();

        var csv = await CsvAsync(archive, ArchiveBench.Plan, [
            new(0, RowChannels.Temperature | RowChannels.Command | RowChannels.Heater | RowChannels.Stirrer, 24.5, 0, false) { Command = 9_007_199_254_740_993, HeaterFraction = 0.375, StirrerRevolutionsPerMinute = 105 },
            new(0.1, RowChannels.Detector | RowChannels.Stirring | RowChannels.Lit | RowChannels.Air | RowChannels.Ambient, 0, 1, false) { Lit = true, AirMetresPerSecond = 0.05, AmbientCelsius = -0.5 },
        ], cancel);

        Assert.Equal(
            "time_s,temperature_c,detector,flame,command,heater,stirrer_rpm,stirring,lit,air_m_s,ambient_c\r\n" +
            "0,24.5,,,9007199254740993,0.375,105,,,,\r\n" +
            "0.1,,1,,,,,0,1,0.05,-0.5\r\n",
            csv);
    }

    [Fact(Timeout = 30000)]
    public async Task A_second_detector_stands_beside_the_first()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var archive = _bench.Open();

        var csv = await CsvAsync(archive, ArchiveBench.Plan, [
            new(0, RowChannels.Temperature | RowChannels.Detector | RowChannels.SecondDetector | RowChannels.Flame, 24.5, 0.2, true) { SecondDetector = 0.1 + 0.2 },
            new(0.1, RowChannels.Detector | RowChannels.Lit, 0, 1, false) { Lit = true, SecondDetector = 7 },
        ], cancel);

        Assert.Equal(
            "time_s,temperature_c,detector,second_detector,flame,lit\r\n" +
            "0,24.5,0.2,0.30000000000000004,1,\r\n" +
            "0.1,,1,,,1\r\n",
            csv);
    }

    [Theory(Timeout = 30000)]
    [InlineData(RowChannels.Signal, ReadingMarks.None, "thermometer_uv")]
    [InlineData(RowChannels.Junction, ReadingMarks.None, "junction_c")]
    [InlineData(RowChannels.None, ReadingMarks.Stale, "thermometer_marks")]
    [InlineData(RowChannels.Command, ReadingMarks.None, "command")]
    [InlineData(RowChannels.Lit, ReadingMarks.None, "lit")]
    public async Task A_column_is_there_for_one_row_in_thousands_and_brings_no_other(RowChannels channel, ReadingMarks marks, string column)
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var archive = _bench.Open();
        var rows = ArchiveBench.PlausibleRun(3000);
        rows[^1] = rows[^1] with { Present = rows[^1].Present | channel, Marks = marks };

        var lines = (await CsvAsync(archive, ArchiveBench.Plan with { Thermometer = ArchiveBench.Thermocouple }, rows, cancel)).Split("\r\n");

        Assert.Equal($"time_s,temperature_c,detector,flame,{column}", lines[0]);
        Assert.All(lines[1..^2], line => Assert.EndsWith(",", line, StringComparison.Ordinal));
    }

    [Fact(Timeout = 60000)]
    public async Task What_was_archived_is_read_back_from_the_file_bit_for_bit_in_every_unit()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var archive = _bench.Open(new ArchiveOptions { CommitInterval = TimeSpan.FromMilliseconds(10) });
        var units = ThermometerColumns.Signals.Keys.ToArray();
        await Gen.Select(Gen.Int[0, units.Length - 1], Gen.OneOf(TraceRow.Array[1, 60], BenchTraceRow.Array[1, 60], SecondTraceRow.Array[1, 60])).SampleAsync(async (unit, rows) =>
        {
            var plan = ArchiveBench.Plan with { Thermometer = new ThermometerChain { Unit = units[unit], Sensor = new DirectSensor() } };
            var trace = TraceReader.Read("run.csv", (await CsvAsync(archive, plan, rows, cancel)).Split('\n'));

            Assert.Empty(trace.Errors);
            ArchiveBench.AssertSameBits(rows, trace.Rows);
            Assert.Equal(rows, trace.Rows);
            Assert.Equal(rows.Any(row => row.Has(RowChannels.Signal)) ? units[unit] : null, trace.SignalUnit);
            Assert.Equal(rows.Any(row => row.Marks != 0), trace.HasMarks);
        }, iter: 60, threads: 1);
    }

    [Fact(Timeout = 30000)]
    public async Task Damage_is_told_by_the_rows_and_not_hidden_by_the_look_for_columns()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var archive = _bench.Open(new ArchiveOptions { ChunkRows = 100 });
        var plan = ArchiveBench.Plan with { Thermometer = ArchiveBench.Thermocouple };
        await CsvAsync(archive, plan, ArchiveBench.PlausibleSignalRun(3000), cancel);
        using (var stranger = _bench.Stranger(writes: true))
        {
            ArchiveBench.Ask(stranger, "UPDATE chunks SET body = zeroblob(100) WHERE chunk = 20");
        }

        using var body = new MemoryStream();
        await Assert.ThrowsAsync<ArchiveCorruptException>(() => WriteAsync(archive, plan, "r-1", body));

        Assert.StartsWith("time_s,temperature_c,detector,flame,thermometer_uv,junction_c,thermometer_marks\r\n0,", Encoding.UTF8.GetString(body.ToArray()), StringComparison.Ordinal);
    }

    // Rows as a source may deliver them: nothing in a field whose channel is not there, every value in the range that a trace may have.
    private static Gen<ReadingRow> TraceRow => Gen.Select(Gen.Double[0, 1e6], Gen.Int[0, 31], Celsius, Gen.Double[-1e300, 1e300], Gen.Bool, Gen.OneOf(Gen.Double[-1e9, 1e9], Gen.Int[-99_999, 99_999].Select(whole => (double)whole), Gen.Const(-0.0)), Celsius, Gen.OneOf(Gen.Const(0), Gen.Int))
        .Select((at, present, temperature, detector, flame, signal, junction, marks) =>
        {
            double If(RowChannels channel, double value) => ((RowChannels)present & channel) != 0 ? value : 0;
            return new ReadingRow(at, (RowChannels)present, If(RowChannels.Temperature, temperature), If(RowChannels.Detector, detector), flame && ((RowChannels)present & RowChannels.Flame) != 0)
            {
                Signal = If(RowChannels.Signal, signal),
                JunctionCelsius = If(RowChannels.Junction, junction),
                Marks = (ReadingMarks)marks & ReadingMarks.All,
            };
        });

    private static Gen<ReadingRow> BenchTraceRow => Gen.Select(TraceRow, Gen.Int[0, 127], Gen.Long[0, long.MaxValue], Gen.Bool, Gen.Bool, Gen.Double[0, 1].Array[4])
        .Select((row, present, command, stirring, lit, shares) =>
        {
            var told = (RowChannels)(present << 5);
            double If(RowChannels channel, double value) => (told & channel) != 0 ? value : 0;
            return row with
            {
                Present = row.Present | told,
                Command = (told & RowChannels.Command) != 0 ? command : 0,
                HeaterFraction = If(RowChannels.Heater, shares[0]),
                StirrerRevolutionsPerMinute = If(RowChannels.Stirrer, ReadingRow.FastestStirrerRevolutionsPerMinute * shares[1]),
                Stirring = stirring && (told & RowChannels.Stirring) != 0,
                Lit = lit && (told & RowChannels.Lit) != 0,
                AirMetresPerSecond = If(RowChannels.Air, ReadingRow.FastestAirMetresPerSecond * shares[2]),
                AmbientCelsius = If(RowChannels.Ambient, ReadingRow.LowestAmbientCelsius + (120 * shares[3])),
            };
        });

    private static Gen<ReadingRow> SecondTraceRow => Gen.Select(Gen.OneOf(TraceRow, BenchTraceRow), Gen.Bool, Gen.OneOf(Gen.Double[-1e300, 1e300], Gen.Const(-0.0), Gen.Const(double.MaxValue)))
        .Select((row, there, second) => there ? row with { Present = row.Present | RowChannels.SecondDetector, SecondDetector = second } : row);

    private static Gen<double> Celsius => Gen.OneOf(Gen.Double[ReadingRow.LowestCelsius, ReadingRow.HighestCelsius], Gen.Int[-2000, 40_000].Select(hundredths => hundredths / 100.0));

    private async Task<string> CsvAsync(RunArchive archive, RunPlan plan, ReadingRow[] rows, CancellationToken cancel)
    {
        var id = $"r-{++_runs}";
        await archive.BeginRunAsync(ArchiveBench.Header(id) with { Plan = plan }, cancel);
        await archive.AppendRowsAsync(id, rows, cancel);
        await archive.CloseRunAsync(id, ArchiveBench.Start, ArchiveBench.Result, cancel);
        using var body = new MemoryStream();
        await WriteAsync(archive, plan, id, body);
        return Encoding.UTF8.GetString(body.ToArray());
    }

    private static Task WriteAsync(RunArchive archive, RunPlan plan, string id, Stream body) =>
        new ReadingsCsv(id, plan, archive).ExecuteAsync(new DefaultHttpContext { Response = { Body = body } });
}
