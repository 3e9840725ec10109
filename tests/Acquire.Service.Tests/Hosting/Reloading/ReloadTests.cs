using System.Globalization;
using Acquire.Service.Hosting.Reloading;
using Acquire.Service.Lanes.Watching;
using Acquire.Service.Live;
using Acquire.Service.Tests.Configuration;
using Acquire.Service.Tests.Sources;
using Acquire.Service.Tests.Sources.Modbus;
using Acquire.Service.Tests.Sources.Mqtt;
using Acquire.Service.Tests.Sources.Serial;
using Xunit;

namespace Acquire.Service.Tests.Hosting.Reloading;

/// <summary>Testers come, change and go while others have their runs open.</summary>
public sealed class ReloadTests
{
    private readonly int _port = Mosquitto.FreePort();

    private static CancellationToken Cancelled => TestContext.Current.CancellationToken;

    [Fact(Timeout = 90000)]
    public async Task Run_of_a_tester_that_does_not_change_goes_on_without_a_gap_while_others_come_change_and_go()
    {
        await using var bench = await ReloadBench.StartAsync(File(Tester("a"), Tester("x")), TestContext.Current.CancellationToken);
        var lane = bench.Lanes.Find("a");
        var run = await bench.StartRunAsync("a");
        using var ending = CancellationTokenSource.CreateLinkedTokenSource(Cancelled);
        using var publisher = await Publisher.ConnectAsync(_port, Cancelled);
        var publishing = PublishAsync(publisher, "a", ending.Token);

        await bench.TakeAsync(File(Tester("a"), Tester("x"), Tester("b")));
        await bench.UntilAsync(() => bench.Lanes.Find("b") is not null, "the tester that was added");
        await publisher.SendAsync("b", Row(0), Cancelled);
        await bench.UntilAsync(() => bench.Lanes.Find("b")!.Overview() is { Counters.Rows: 1, Connection: ConnectionState.Up }, "its first row");
        await bench.TakeAsync(File(Tester("b", name: "Other name"), Tester("a")));
        await bench.UntilAsync(() => bench.Lanes.Find("b")!.Overview().Name == "Other name" && bench.Lanes.Find("x") is null, "the changes");
        Assert.Equal(["b", "a"], bench.Lanes.All.Select(known => known.TesterId));
        await bench.TakeAsync(File(Tester("a")));
        await bench.UntilAsync(() => bench.Lanes.All.Count == 1, "the end of the others");
        await ending.CancelAsync();
        var sent = await publishing;
        await bench.UntilAsync(() => bench.Archive.ArchivedRows(run.Id) == sent, "every row");

        Assert.Same(lane, bench.Lanes.Find("a"));
        Assert.Equal(Enumerable.Range(0, sent), bench.Archive.ReadRows(run.Id).Select(row => (int)Math.Round(row.AtSeconds * 100)));
        Assert.Null(bench.Archive.FindRun(run.Id)!.Summary.ClosedAt);
        var state = await bench.GetAsync<ConfigurationOverview>("/api/configuration");
        Assert.Equal((3, 0, 1, 1, 2), (state.Taken, state.Refused, state.Added, state.Changed, state.Removed));
        Assert.Empty(state.Waiting);
    }

    [Fact(Timeout = 60000)]
    public async Task Tester_whose_run_is_open_is_changed_once_it_has_ended_and_says_so_until_then()
    {
        await using var bench = await ReloadBench.StartAsync(File(Tester("a")), TestContext.Current.CancellationToken);
        var run = await bench.StartRunAsync("a");
        await bench.TakeAsync(File(Tester("a", name: "Other name")));
        await bench.UntilAsync(() => bench.State.Waiting.Count == 1, "the change that waits");

        Assert.Equal($"Tester a is changed once its run has ended: run {run.Id} is open on tester a.", bench.State.Waiting[0]);
        Assert.Contains(bench.Lanes.Find("a")!.Overview().Alarms, alarm => alarm.Code == ServiceAlarmCodes.ChangeWaits);
        Assert.Equal("a", bench.Lanes.Find("a")!.Overview().Name);
        await bench.StopRunAsync(run.Id);
        await bench.UntilAsync(() => bench.Lanes.Find("a")!.Overview().Name == "Other name", "the change");

        Assert.Empty(bench.Lanes.Find("a")!.Overview().Alarms);
        Assert.NotNull(bench.Archive.FindRun(run.Id)!.Summary.ClosedAt);
        await bench.UntilAsync(() => bench.State.Waiting.Count == 0, "nothing that waits");
    }

    [Fact(Timeout = 60000)]
    public async Task File_with_mistakes_changes_nothing_and_every_mistake_is_told_until_it_is_mended()
    {
        await using var bench = await ReloadBench.StartAsync(File(Tester("a")), TestContext.Current.CancellationToken);
        var lane = bench.Lanes.Find("a");
        bench.Write(File(Tester("a", name: "Other name"), Tester("b").Replace("\"unit\"", "\"unt\"", StringComparison.Ordinal), Tester("a")));
        await bench.UntilAsync(() => bench.State.Mistakes.Count > 0, "the mistakes");
        var state = await bench.GetAsync<ConfigurationOverview>("/api/configuration");

        Assert.Contains(state.Mistakes, mistake => mistake.Contains("did you mean \"unit\"?", StringComparison.Ordinal));
        Assert.Contains(state.Mistakes, mistake => mistake.Contains("testers[2].id", StringComparison.Ordinal));
        Assert.Equal((0, 1), (state.Taken, state.Refused));
        Assert.Same(lane, Assert.Single(bench.Lanes.All));
        await bench.TakeAsync(File(Tester("a"), Tester("b")));
        await bench.UntilAsync(() => bench.Lanes.All.Count == 2, "the tester that was added");
        Assert.Same(lane, bench.Lanes.Find("a"));
        bench.Write("{");
        await bench.UntilAsync(() => bench.State.Mistakes.Count == 1, "the mistake of a file that is cut off");
        bench.Write(File(Tester("a"), Tester("b")));
        await bench.UntilAsync(() => bench.State.Mistakes.Count == 0, "the mistakes to go: the file says what is in force");
    }

    [Fact(Timeout = 60000)]
    public async Task Driven_testers_and_what_belongs_to_the_whole_service_wait_for_the_next_start()
    {
        const string Driven = """{ "id": "d", "mode": "driven", "drive": { "highestCelsius": 320 }, "source": { "kind": "serial", "port": "/dev/none-d", "columns": [ { "channel": "temperature", "unit": "degC" }, { "channel": "detector" }, { "channel": "flame" }, { "channel": "command" } ] } }""";
        await using var bench = await ReloadBench.StartAsync(File(Tester("a"), Driven), TestContext.Current.CancellationToken);
        await bench.TakeAsync(File(Tester("a"), Driven.Replace("320", "300", StringComparison.Ordinal), Driven.Replace("\"d\"", "\"e\"", StringComparison.Ordinal).Replace("none-d", "none-e", StringComparison.Ordinal)).Replace("{ \"port\"", "{ \"address\": \"127.0.0.1\", \"port\"", StringComparison.Ordinal));
        await bench.UntilAsync(() => bench.State.Waiting.Count == 3, "what waits");

        Assert.Equal("Tester d is driven: it is changed with the next start of the service. Nothing that heats is changed under way.", bench.State.Waiting[0]);
        Assert.Equal("Tester e is driven: it is added with the next start of the service.", bench.State.Waiting[1]);
        Assert.StartsWith("mqtt: ", bench.State.Waiting[2], StringComparison.Ordinal);
        Assert.Equal(320, bench.Lanes.Find("d")!.Facts.Drive!.HighestCelsius);
        await bench.TakeAsync(File(Tester("a"), Driven));
        await bench.UntilAsync(() => bench.Lanes.Find("d")!.Overview().Alarms.All(alarm => alarm.Code != ServiceAlarmCodes.ChangeWaits), "the alarm to end: the file says again what is in force");
    }

    [Fact(Timeout = 60000)]
    public async Task Port_goes_from_one_tester_to_another_once_the_run_of_the_first_has_ended()
    {
        PtyPair.SkipWithoutSocat();
        using var pair = new PtyPair();
        await pair.PlugInAsync(Cancelled);
        await using var bench = await ReloadBench.StartAsync(File(Serial("a", pair.Port)), TestContext.Current.CancellationToken);
        await bench.UntilAsync(() => bench.Lanes.Find("a")!.Overview().Connection == ConnectionState.Up, "the port");
        var run = await bench.StartRunAsync("a");
        await bench.TakeAsync(File(Serial("b", pair.Port)));
        await bench.UntilAsync(() => bench.State.Waiting.Count == 2, "both to wait");

        Assert.Equal("Tester b is read once a has given its port free.", bench.State.Waiting[1]);
        await bench.StopRunAsync(run.Id);
        await bench.UntilAsync(() => bench.Lanes.Find("b")?.Overview().Connection == ConnectionState.Up && bench.Lanes.Find("a") is null, "the port to be read for the other");
        await SourceSamples.Pause(0.3, Cancelled);
        pair.Send("1.0,100.0,0.5,0\n");
        await bench.UntilAsync(() => bench.Lanes.Find("b")!.Overview().Counters.Rows == 1, "its row");
    }

    [Fact(Timeout = 60000)]
    public async Task Shared_source_on_the_port_of_a_tester_with_an_open_run_waits_for_its_end()
    {
        const string Room = """ "ambient": [ { "id": "room", "source": { "kind": "serial", "port": "/dev/none", "columns": [ { "channel": "pressure", "unit": "hPa" } ] } } ], """;
        await using var bench = await ReloadBench.StartAsync(File(Serial("a", "/dev/none")), TestContext.Current.CancellationToken);
        var run = await bench.StartRunAsync("a");
        await bench.TakeAsync(File().Insert(1, Room));
        await bench.UntilAsync(() => bench.State.Waiting.Count == 2, "both to wait");

        Assert.Equal("The shared source room is read once a has given its port free.", bench.State.Waiting[1]);
        Assert.Empty(await bench.GetAsync<AmbientOverview[]>("/api/ambient"));
        await bench.StopRunAsync(run.Id);
        await bench.UntilAsync(() => bench.Lanes.All.Count == 0 && bench.State.Waiting.Count == 0, "the change");
        Assert.Single(await bench.GetAsync<AmbientOverview[]>("/api/ambient"));
    }

    [Fact(Timeout = 60000)]
    public async Task Shared_source_is_added_and_changed_and_the_tester_is_given_its_values()
    {
        await using var bench = await ReloadBench.StartAsync(File(Tester("a")), TestContext.Current.CancellationToken);
        await bench.TakeAsync(Room(File(Tester("a", more: """ "ambient": ["room"], """)), "kPa"));
        await bench.UntilAsync(() => bench.Lanes.Find("a")!.Overview().Ambient is { Count: 1 }, "the shared source");
        using var publisher = await Publisher.ConnectAsync(_port, Cancelled);
        await publisher.SendAsync("room", "99.6", Cancelled);
        await bench.UntilAsync(() => bench.Lanes.Find("a")!.Overview().Ambient![0].PressureKilopascals?.Value == 99.6, "its reading");
        var lane = bench.Lanes.Find("a");
        await bench.TakeAsync(Room(File(Tester("a", more: """ "ambient": ["room"], """)), "hPa"));
        await bench.UntilAsync(() => bench.Lanes.Find("a")!.Overview().Ambient![0].PressureKilopascals is null, "the source that was changed");
        await publisher.SendAsync("room", "996", Cancelled);
        await bench.UntilAsync(() => bench.Lanes.Find("a")!.Overview().Ambient![0].PressureKilopascals?.Value == 99.6, "its reading");

        Assert.Same(lane, bench.Lanes.Find("a"));
        Assert.Equal("room", Assert.Single(await bench.GetAsync<AmbientOverview[]>("/api/ambient")).Id);
    }

    [Fact(Timeout = 60000)]
    public async Task Another_altitude_checks_the_next_pressure_and_changes_no_tester()
    {
        await using var bench = await ReloadBench.StartAsync(File(Tester("a")), TestContext.Current.CancellationToken);
        var lane = bench.Lanes.Find("a");
        await bench.TakeAsync(File(Tester("a")).Insert(1, " \"altitudeMetres\": 1600, "));
        await bench.UntilAsync(() => bench.Lanes.Find("a")!.Facts.AltitudeMetres == 1600, "the other altitude");

        Assert.Same(lane, bench.Lanes.Find("a"));
        Assert.DoesNotContain(bench.Lanes.Find("a")!.Overview().Alarms, alarm => alarm.Code == "change-waits");
    }

    [Fact(Timeout = 60000)]
    public async Task Tester_on_a_shared_Modbus_wire_comes_and_goes_and_the_other_misses_no_poll()
    {
        PymodbusServer.SkipWithout();
        var port = Mosquitto.FreePort();
        using var server = PymodbusServer.Tcp(port, "1", "2");
        await server.StartAsync(Cancelled);
        await server.SetAsync(1, "holding", 0, 60);
        await server.SetAsync(2, "holding", 0, 70);
        await using var bench = await ReloadBench.StartAsync(File(Modbus("a", port, 1)), TestContext.Current.CancellationToken);
        await bench.UntilAsync(() => bench.Lanes.Find("a")!.Overview().Counters.Rows > 5, "the first polls");
        var missed = bench.Lanes.Find("a")!.Overview().Counters.Missed;
        await bench.TakeAsync(File(Modbus("a", port, 1), Modbus("b", port, 2)));
        await bench.UntilAsync(() => bench.Lanes.Find("b")?.Overview() is { Counters.Rows: > 5, Connection: ConnectionState.Up, Status.TemperatureCelsius: 70 }, "the polls of the other");
        await bench.TakeAsync(File(Modbus("a", port, 1)));
        await bench.UntilAsync(() => bench.Lanes.All.Count == 1, "the other to go");
        var rows = bench.Lanes.Find("a")!.Overview().Counters.Rows;
        await bench.UntilAsync(() => bench.Lanes.Find("a")!.Overview().Counters.Rows > rows + 5, "more polls");

        // At a poll each 200 ms one lost connection would cost several; a busy machine may be late for one.
        Assert.InRange(bench.Lanes.Find("a")!.Overview().Counters.Missed - missed, 0, 1);
    }

    [Theory]
    [InlineData("""{ "mqtt": { "port": 1884 }, "dataDirectory": "other", "testers": [], "altitudeMetres": 5 }""", "dataDirectory", "mqtt")]
    [InlineData("""{ "testers": [], "ambient": [], "altitudeMetres": 5 }""")]
    public void Keys_that_only_the_next_start_takes_are_named(string wanted, params string[] keys) =>
        Assert.Equal(keys, GlobalKeys.Different(SourceSamples.Config("{}"), SourceSamples.Config(wanted)));

    [Fact]
    public void Order_of_keys_and_comments_are_no_change()
    {
        var (one, other) = (SourceSamples.Config(ConfigSamples.Serial()), SourceSamples.Config("""{ "testers": [ /* same */ { "source": { "columns": [ { "unit": "degC", "channel": "temperature" } ], "kind": "serial", "port": "/dev/none" }, "id": "bench-1" } ], "mqtt": {} }"""));

        Assert.True(one.Testers[0].IsSame(other.Testers[0]));
        Assert.False(one.Testers[0].IsSame(SourceSamples.Config(ConfigSamples.Serial("\"baudRate\": 19200")).Testers[0]));
        Assert.True(one.Testers[0].IsSame(other.Testers[0] with { AltitudeMetres = 310 }));
    }

    private static string Row(int number) => string.Create(CultureInfo.InvariantCulture, $"{number / 100.0:0.00},{60 + (number * 0.001):0.000},0.1,0");

    private static async Task<int> PublishAsync(Publisher publisher, string topic, CancellationToken cancellationToken)
    {
        var sent = 0;
        while (!cancellationToken.IsCancellationRequested)
        {
            await publisher.SendAsync(topic, Row(sent), Cancelled);
            sent++;
            await Task.Delay(TimeSpan.FromMilliseconds(10), TimeProvider.System, cancellationToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }

        return sent;
    }

    private string File(params string[] testers) => $$"""{ "mqtt": { "port": {{_port}} }, "testers": [ {{string.Join(", ", testers)}} ] }""";

    private static string Tester(string id, string? name = null, string more = "") => $$"""{ "id": "{{id}}", "name": "{{name ?? id}}", {{more}} "source": { "kind": "mqtt", "topics": [ { "filter": "{{id}}", "payload": "csv", {{SourceSamples.FullColumns}} } ] } }""";

    private static string Serial(string id, string port) => $$"""{ "id": "{{id}}", "source": { "kind": "serial", "port": "{{port}}", {{SourceSamples.FullColumns}} } }""";

    private static string Modbus(string id, int port, int unit) => $$"""{ "id": "{{id}}", "source": { "kind": "modbus-tcp", "host": "127.0.0.1", "port": {{port}}, "unitId": {{unit}}, "registers": [ { "channel": "temperature", "unit": "degC", "address": 0 } ] } }""";

    private static string Room(string file, string unit) => file.Insert(1, $$""" "ambient": [ { "id": "room", "source": { "kind": "mqtt", "topics": [ { "filter": "room", "payload": "number", "channel": "pressure", "unit": "{{unit}}" } ] } } ], """);
}
