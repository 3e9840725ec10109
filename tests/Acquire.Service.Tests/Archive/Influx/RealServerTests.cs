using System.Globalization;
using System.Text.Json;
using Acquire.ArchiveVictim;
using Acquire.Core.Readings;
using Acquire.Service.Archive.Influx;
using Acquire.Service.Archive.Influx.Lines;
using Xunit;

namespace Acquire.Service.Tests.Archive.Influx;

/// <summary>Against servers of another make: what is read there is what is in the archive.</summary>
public sealed class RealServerTests
{
    private static CancellationToken Cancelled => TestContext.Current.CancellationToken;

    [Fact(Timeout = 240000)]
    public async Task Every_reading_is_in_InfluxDB_with_every_bit_and_sending_again_changes_nothing()
    {
        using var server = DatabaseServer.Influx();
        await StartAsync(server, TestContext.Current.CancellationToken);
        using var bench = Bench(server);
        await using var archive = bench.Open();
        // Every channel, values of every size, and rows of one moment.
        var rows = Enumerable.Range(0, 3000).Select(index => VictimRows.At(index)).Select((row, index) => row with { AtSeconds = index % 10 == 3 ? row.AtSeconds - 0.02 : row.AtSeconds }).ToArray();
        await OutboxBench.WriteRunAsync(archive, "r-1", rows);
        await OutboxBench.WriteRunAsync(archive, "r-2", ArchiveBench.PlausibleRun(5000));
        await DrainAsync(bench);

        await AssertReadingsAsync(server, "r-1", rows);
        await AssertReadingsAsync(server, "r-2", ArchiveBench.PlausibleRun(5000));
        var before = await ContentAsync(server);
        File.Delete(bench.StatePath);
        await DrainAsync(bench);

        Assert.Equal(before, await ContentAsync(server));
    }

    [Fact(Timeout = 240000)]
    public async Task Any_double_comes_back_from_InfluxDB_with_the_same_bits()
    {
        using var server = DatabaseServer.Influx();
        await StartAsync(server, TestContext.Current.CancellationToken);
        using var bench = Bench(server);
        await using var archive = bench.Open();
        double[] edges = [0, -0.0, double.Epsilon, -double.Epsilon, double.MaxValue, double.MinValue, 0.1 + 0.2, 1e15, 1e16, 123456789012345680, 1e-7, 2.2250738585072014E-308, 4503599627370497.5];
        var values = edges.Concat(RandomDoubles(2000)).ToArray();
        await OutboxBench.WriteRunAsync(archive, "r-1", values.Select((value, index) => new ReadingRow(index / 50.0, RowChannels.Detector, 0, value, false)));
        await DrainAsync(bench);

        var series = Assert.Single(await server.AskAsync("SELECT detector FROM reading", Cancelled));

        Assert.Equal(values.Select(BitConverter.DoubleToInt64Bits), series.GetProperty("values").EnumerateArray().Select(row => BitConverter.DoubleToInt64Bits(double.Parse(row[1].GetRawText(), CultureInfo.InvariantCulture))));
    }

    [Fact(Timeout = 240000)]
    public async Task A_server_that_is_killed_in_mid_flow_has_everything_in_the_end_and_nothing_twice()
    {
        using var server = DatabaseServer.Influx();
        await StartAsync(server, TestContext.Current.CancellationToken);
        using var bench = Bench(server);
        await using var archive = bench.Open();
        for (var run = 0; run < 4; run++)
        {
            await OutboxBench.WriteRunAsync(archive, $"r-{run}", ArchiveBench.PlausibleRun(2000), start: ArchiveBench.Start.AddHours(run));
        }

        // Killed before a request, and after an answer that then never arrives.
        var (requests, answers) = (0, 0);
        bench.Around = inner => new VersionOneHandler(inner)
        {
            Before = () => _ = ++requests is 5 or 15 ? Killed(server) : 0,
            After = () => _ = ++answers is 10 ? throw new HttpRequestException($"the answer is lost {Killed(server)}") : 0,
        };
        using var outbox = bench.Start();
        for (var turn = 0; turn < 200 && bench.Board.Overview() is not { State: InfluxState.Current, Lines: > 8000 }; turn++)
        {
            await outbox.TurnAsync(Cancelled);
            if (bench.Board.Overview().State == InfluxState.Waiting)
            {
                await server.StartAsync(Cancelled);
            }
        }

        for (var run = 0; run < 4; run++)
        {
            await AssertReadingsAsync(server, $"r-{run}", ArchiveBench.PlausibleRun(2000));
        }

        Assert.True(requests > 15 && answers > 10, $"{requests} requests, {answers} answers: the server was not killed three times");
        Assert.Equal(0, bench.Board.Overview().SetAside);
    }

    [Fact(Timeout = 240000)]
    public async Task A_field_that_has_another_type_at_InfluxDB_is_set_aside_with_its_words_and_the_rest_arrives()
    {
        using var server = DatabaseServer.Influx();
        await StartAsync(server, TestContext.Current.CancellationToken);
        using var bench = Bench(server);
        await using var archive = bench.Open();
        using (var client = new HttpClient { BaseAddress = server.Url })
        using (var wrong = new StringContent("reading,tester=x temperature_celsius=\"warm\" 1772443815123000000\n"))
        {
            (await client.PostAsync(new Uri("write?db=oils&precision=n", UriKind.Relative), wrong, Cancelled)).EnsureSuccessStatusCode();
        }

        // Every tenth row has a temperature, which this server will not take as a number.
        var rows = ArchiveBench.PlausibleRun(100).Select((row, index) => index % 10 == 0 ? row : row with { Present = RowChannels.Detector }).ToArray();
        await OutboxBench.WriteRunAsync(archive, "r-1", rows, start: ArchiveBench.Start);
        await DrainAsync(bench);

        using var store = bench.Store();
        var aside = store.SetAsides(100).Where(stretch => stretch.Kind == LineKind.Reading).ToArray();
        Assert.Equal(Enumerable.Range(0, 10).Select(index => index * 10L), aside.Select(stretch => stretch.First));
        Assert.All(aside, stretch => Assert.Contains("field type conflict: input field \"temperature_celsius\" on measurement \"reading\" is type float, already exists as type string", stretch.Words, StringComparison.Ordinal));
        var series = Assert.Single(await server.AskAsync("SELECT count(detector) FROM reading WHERE run = 'r-1'", Cancelled));
        Assert.InRange(series.GetProperty("values")[0][1].GetInt32(), 90, 100);
    }

    [Fact(Timeout = 240000)]
    public async Task VictoriaMetrics_takes_the_same_interface_and_counts_the_same_after_a_repeat()
    {
        using var server = DatabaseServer.Victoria();
        await server.StartAsync(TestContext.Current.CancellationToken);
        using var bench = new OutboxBench(server.Url);
        await using var archive = bench.Open();
        var rows = ArchiveBench.PlausibleRun(5000);
        await OutboxBench.WriteRunAsync(archive, "r-1", rows);
        await DrainAsync(bench);
        File.Delete(bench.StatePath);
        await DrainAsync(bench);

        await server.GetAsync("internal/force_flush", Cancelled);
        foreach (var (field, expected) in new[] { ("temperature_celsius", rows.Select(row => row.TemperatureCelsius)), ("detector", rows.Select(row => row.Detector)), ("flame_over", rows.Select(row => row.FlameOver ? 1.0 : 0)) })
        {
            var text = await server.GetAsync($"api/v1/export?match[]=reading_{field}{{run=\"r-1\"}}&reduce_mem_usage=0", Cancelled);
            using var json = JsonDocument.Parse(Assert.Single(text.Split('\n', StringSplitOptions.RemoveEmptyEntries)));
            Assert.Equal(expected, json.RootElement.GetProperty("values").EnumerateArray().Select(value => Math.Round(value.GetDouble(), 4)));
            Assert.Equal(
                rows.Select(row => ArchiveBench.Start.ToUnixTimeMilliseconds() + (long)Math.Round(row.AtSeconds * 1000)), json.RootElement.GetProperty("timestamps").EnumerateArray().Select(at => at.GetInt64()));
        }
    }

    // Every bit pattern is as likely as any other.
    private static IEnumerable<double> RandomDoubles(int count)
    {
        var random = new Random(20261126);
        return Enumerable.Range(0, count).Select(_ => BitConverter.Int64BitsToDouble(random.NextInt64(long.MinValue, long.MaxValue))).Where(double.IsFinite);
    }

    private static int Killed(DatabaseServer server)
    {
        server.Kill();
        return 0;
    }

    private static OutboxBench Bench(DatabaseServer server)
    {
        var bench = new OutboxBench(server.Url) { Around = inner => new VersionOneHandler(inner) };
        bench.Influx = bench.Influx with { BatchLines = 500 };
        return bench;
    }

    private static async Task StartAsync(DatabaseServer server, CancellationToken cancellationToken)
    {
        await server.StartAsync(cancellationToken);
        await server.AskAsync("CREATE DATABASE oils", cancellationToken);
    }

    private static async Task DrainAsync(OutboxBench bench)
    {
        using var outbox = bench.Start();
        await OutboxBench.DrainAsync(outbox);
    }

    // Read back by the server's own names and compared bit by bit with the row at the number that the timestamp holds.
    private static async Task AssertReadingsAsync(DatabaseServer server, string run, ReadingRow[] rows)
    {
        var series = Assert.Single(await server.AskAsync($"SELECT run_seconds, temperature_celsius, detector, second_detector, flame_over, signal, junction_celsius, command, ambient_celsius, lit, marks FROM reading WHERE run = '{run}'", Cancelled));
        var found = series.GetProperty("values").EnumerateArray().ToDictionary(row => row[0].GetInt64() % PointTime.Numbers);
        Assert.Equal(rows.Length, found.Count);
        foreach (var (index, row) in rows.Index())
        {
            var values = found[index];
            AssertValue(true, row.AtSeconds, values[1]);
            AssertValue(row.Has(RowChannels.Temperature), row.TemperatureCelsius, values[2]);
            AssertValue(row.Has(RowChannels.Detector), row.Detector, values[3]);
            AssertValue(row.Has(RowChannels.SecondDetector), row.SecondDetector, values[4]);
            AssertValue(row.Has(RowChannels.Flame), row.FlameOver ? 1 : 0, values[5]);
            AssertValue(row.Has(RowChannels.Signal), row.Signal, values[6]);
            AssertValue(row.Has(RowChannels.Junction), row.JunctionCelsius, values[7]);
            AssertValue(row.Has(RowChannels.Command), row.Command, values[8]);
            AssertValue(row.Has(RowChannels.Ambient), row.AmbientCelsius, values[9]);
            AssertValue(row.Has(RowChannels.Lit), row.Lit ? 1 : 0, values[10]);
            Assert.Equal(row.Marks == ReadingMarks.None ? null : ReadingMarkWords.Join(row.Marks), values[11].GetString());
        }
    }

    private static void AssertValue(bool present, double expected, JsonElement found)
    {
        Assert.Equal(present, found.ValueKind == JsonValueKind.Number);
        if (present)
        {
            Assert.Equal(BitConverter.DoubleToInt64Bits(expected), BitConverter.DoubleToInt64Bits(double.Parse(found.GetRawText(), CultureInfo.InvariantCulture)));
        }
    }

    private static async Task<string> ContentAsync(DatabaseServer server) => string.Join('\n', (await Task.WhenAll(
        new[] { "reading", "event", "result" }.Select(name => server.AskAsync($"SELECT * FROM {name} GROUP BY *", Cancelled)))).SelectMany(series => series.Select(one => one.GetRawText())));
}
