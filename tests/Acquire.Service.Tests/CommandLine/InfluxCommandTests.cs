using System.Text.RegularExpressions;
using Acquire.Service.Archive.Influx;
using Acquire.Service.Archive.Influx.Lines;
using Acquire.Service.CommandLine;
using Acquire.Service.CommandLine.Influxing;
using Acquire.Service.Tests.Archive;
using Acquire.Service.Tests.Archive.Influx;
using Xunit;

namespace Acquire.Service.Tests.CommandLine;

public sealed partial class InfluxCommandTests
{
    private static readonly RunChoice All = new(null, null, null);

    private static CancellationToken Cancelled => TestContext.Current.CancellationToken;

    [Fact(Timeout = 120000)]
    public async Task Backfill_sends_whole_runs_also_while_others_are_open_and_as_often_as_one_likes()
    {
        await using var stub = await StubServer.StartAsync(TestContext.Current.CancellationToken);
        using var bench = new OutboxBench(stub.Url);
        await using var archive = bench.Open();
        await OutboxBench.WriteRunAsync(archive, "r-1", ArchiveBench.PlausibleRun(700));
        await OutboxBench.WriteRunAsync(archive, "r-2", ArchiveBench.PlausibleRun(40), start: ArchiveBench.Start.AddDays(2));
        await OutboxBench.WriteRunAsync(archive, "open", ArchiveBench.PlausibleRun(10), close: false);

        var first = await RunAsync(bench, session => BackfillCommand.RunAsync(session, All with { From = new(2026, 3, 3) }, Cancelled));
        Assert.Equal(40, stub.Points.Values.Count(point => point.Measurement == "reading"));
        Assert.Contains($"run r-2: 40 readings, {ArchiveBench.EveryFact.Count} events, 1 results", first.Output, StringComparison.Ordinal);
        await RunAsync(bench, session => BackfillCommand.RunAsync(session, All with { Run = "r-1" }, Cancelled));
        var again = await RunAsync(bench, session => BackfillCommand.RunAsync(session, All, Cancelled));

        Assert.Equal(740, stub.Points.Values.Count(point => point.Measurement == "reading"));
        Assert.Equal((740 + (2 * ArchiveBench.EveryFact.Count) + 2, 0), (stub.Repeats, stub.Changes));
        Assert.Contains("2 runs sent to", again.Output, StringComparison.Ordinal);
        Assert.Contains("1 runs are open and were left to the service.", again.Output, StringComparison.Ordinal);
        Assert.Equal((ExitCode.Done, ""), (again.Code, again.Error));
        (await RunAsync(bench, session => BackfillCommand.RunAsync(session, All with { Run = "r-9" }, Cancelled))).Refused("--run", "there is no run 'r-9'");
    }

    [Fact(Timeout = 120000)]
    public async Task Backfill_gives_up_where_it_is_not_let_in_and_says_why()
    {
        await using var stub = await StubServer.StartAsync(TestContext.Current.CancellationToken);
        using var bench = new OutboxBench(stub.Url);
        await using (var archive = bench.Open())
        {
            await OutboxBench.WriteRunAsync(archive, "r-1", ArchiveBench.PlausibleRun(10));
        }

        stub.Always = StubServer.Say(403, """{"message":"insufficient permissions"}""");

        var ran = await RunAsync(bench, session => BackfillCommand.RunAsync(session, All, Cancelled));

        Assert.Equal(ExitCode.Failed, ran.Code);
        Assert.Contains("may not write to bucket 'oils'", ran.Error, StringComparison.Ordinal);
    }

    [Fact(Timeout = 120000)]
    public async Task What_was_set_aside_is_listed_and_gone_once_it_is_taken()
    {
        await using var stub = await StubServer.StartAsync(TestContext.Current.CancellationToken);
        using var bench = new OutboxBench(stub.Url);
        await using var archive = bench.Open(new() { ChunkRows = 16 });
        await OutboxBench.WriteRunAsync(archive, "r-1", ArchiveBench.PlausibleRun(700));
        stub.Always = stub.RefuseLines(point => (point.Measurement, point.Nanoseconds % PointTime.Numbers) is ("reading", 5 or 6 or 650) or ("event", 3) or ("result", 0), 422, keepsRest: false);
        using (var outbox = bench.Start())
        {
            await OutboxBench.DrainAsync(outbox);
        }

        var listed = await RunAsync(bench, session => RejectedCommand.RunAsync(session, retry: false, Cancelled));
        Assert.Equal(ExitCode.Failed, listed.Code);
        Assert.Contains("run r-1, reading 5 to 6: status 422, partial write: field type conflict (", listed.Output, StringComparison.Ordinal);
        Assert.Contains("run r-1, reading 650: ", listed.Output, StringComparison.Ordinal);
        Assert.Contains("run r-1, event 3: ", listed.Output, StringComparison.Ordinal);
        Assert.Contains("run r-1, result 0: ", listed.Output, StringComparison.Ordinal);
        Assert.Contains("5 records are set aside.", listed.Output, StringComparison.Ordinal);

        stub.Always = stub.RefuseLines(point => point.Measurement == "reading" && point.Nanoseconds % PointTime.Numbers == 6, 422, keepsRest: false);
        var some = await RunAsync(bench, session => RejectedCommand.RunAsync(session, retry: true, Cancelled));
        Assert.Contains("4 records were taken now.", some.Output, StringComparison.Ordinal);
        Assert.Contains("run r-1, reading 6: ", some.Output, StringComparison.Ordinal);
        stub.Always = stub.Take;
        var rest = await RunAsync(bench, session => RejectedCommand.RunAsync(session, retry: true, Cancelled));

        Assert.Equal(ExitCode.Done, rest.Code);
        Assert.Contains("Nothing is set aside.", rest.Output, StringComparison.Ordinal);
        Assert.Equal(700 + ArchiveBench.EveryFact.Count + 1, stub.Points.Keys.Count(key => !key.Series.StartsWith("probe", StringComparison.Ordinal)));
        Assert.Equal(0, stub.Repeats);
    }

    [Fact(Timeout = 120000)]
    public async Task Status_says_what_waits_and_what_stands_in_the_way()
    {
        await using var stub = await StubServer.StartAsync(TestContext.Current.CancellationToken);
        using var bench = new OutboxBench(stub.Url);
        await using var archive = bench.Open();
        await OutboxBench.WriteRunAsync(archive, "r-1", ArchiveBench.PlausibleRun(300));
        var before = await RunAsync(bench, session => Task.FromResult(StatusCommand.Run(session)));
        Assert.Contains("waiting    300 readings; something of 1 runs", before.Output, StringComparison.Ordinal);
        Assert.Contains("complete   never yet", before.Output, StringComparison.Ordinal);
        using var outbox = bench.Start();
        stub.Then(StubServer.Say(503, """{"message":"compacting"}"""));
        await outbox.TurnAsync(Cancelled);
        Assert.Contains("trouble    http", (await RunAsync(bench, session => Task.FromResult(StatusCommand.Run(session)))).Output, StringComparison.Ordinal);
        await OutboxBench.DrainAsync(outbox);

        var after = (await RunAsync(bench, session => Task.FromResult(StatusCommand.Run(session)))).Output;

        Assert.Contains("waiting    0 readings; something of 0 runs", after, StringComparison.Ordinal);
        Assert.Matches(AsOf(), after);
        Assert.Contains("trouble    none", after, StringComparison.Ordinal);
    }

    [Fact(Timeout = 120000)]
    public async Task Both_sides_are_compared_with_a_real_server_and_what_differs_is_named()
    {
        using var server = DatabaseServer.Influx();
        await server.StartAsync(TestContext.Current.CancellationToken);
        await server.AskAsync("CREATE DATABASE oils", Cancelled);
        using var bench = new OutboxBench(server.Url) { Around = inner => new VersionOneHandler(inner) };
        await using var archive = bench.Open();
        await OutboxBench.WriteRunAsync(archive, "r-1", ArchiveBench.PlausibleRun(300));
        await OutboxBench.WriteRunAsync(archive, "it's 2", ArchiveBench.PlausibleRun(40), start: ArchiveBench.Start.AddDays(2));
        await OutboxBench.WriteRunAsync(archive, "open", ArchiveBench.PlausibleRun(10), close: false);
        Assert.Contains($"run r-1: 300 readings in the archive, 0 at InfluxDB; {ArchiveBench.EveryFact.Count} events in the archive, 0 at InfluxDB; 1 results in the archive, 0 at InfluxDB", (await CompareAsync(bench, All)).Output, StringComparison.Ordinal);
        Assert.Equal(ExitCode.Done, (await RunAsync(bench, session => BackfillCommand.RunAsync(session, All, Cancelled))).Code);

        var equal = await CompareAsync(bench, All);
        Assert.Equal((ExitCode.Done, ""), (equal.Code, equal.Error));
        Assert.Contains("2 runs compared with", equal.Output, StringComparison.Ordinal);
        Assert.Contains(": equal.", equal.Output, StringComparison.Ordinal);
        Assert.Contains("1 runs are open and were not compared.", equal.Output, StringComparison.Ordinal);
        Assert.Equal(ExitCode.Done, (await CompareAsync(bench, All with { Run = "it's 2" })).Code);

        await server.AskAsync("DELETE FROM reading WHERE time = 1772616615123000000", Cancelled);
        await server.AskAsync("DELETE FROM reading WHERE run = 'r-1' AND time < 1772443816000000000", Cancelled);
        var different = await CompareAsync(bench, All);

        Assert.Equal(ExitCode.Failed, different.Code);
        Assert.Contains("run r-1: 300 readings in the archive, 256 at InfluxDB", different.Output, StringComparison.Ordinal);
        Assert.Contains("run it's 2: 40 readings in the archive, 39 at InfluxDB", different.Output, StringComparison.Ordinal);
        Assert.Contains("2 DIFFERENT", different.Output, StringComparison.Ordinal);
        await RunAsync(bench, session => BackfillCommand.RunAsync(session, All, Cancelled));
        Assert.Equal(ExitCode.Done, (await CompareAsync(bench, All)).Code);
    }

    [Fact(Timeout = 120000)]
    public async Task Both_sides_are_compared_in_Flux_where_the_server_speaks_it()
    {
        await using var stub = await StubServer.StartAsync(TestContext.Current.CancellationToken);
        using var bench = new OutboxBench(stub.Url);
        await using var archive = bench.Open();
        await OutboxBench.WriteRunAsync(archive, "r-1", ArchiveBench.PlausibleRun(300));
        await RunAsync(bench, session => BackfillCommand.RunAsync(session, All, Cancelled));
        stub.Flux = query => Annotated(stub, query);

        Assert.Equal((ExitCode.Done, ""), (await CompareAsync(bench, All)) is var equal ? (equal.Code, equal.Error) : default);
        stub.Points.TryRemove(stub.Points.Keys.First(key => key.Series.StartsWith("reading", StringComparison.Ordinal)), out _);

        Assert.Contains("run r-1: 300 readings in the archive, 299 at InfluxDB", (await CompareAsync(bench, All)).Output, StringComparison.Ordinal);

        await archive.PruneAsync(
            new("r-1", ArchiveBench.Start.AddDays(4000), "Bea", "older than ten years", "bench-1", "astm-d92-18", ArchiveBench.Start, ArchiveBench.Start.AddMinutes(30), "doubtful", 0, null), Cancelled);
        var pruned = await CompareAsync(bench, All);
        Assert.Equal(ExitCode.Done, pruned.Code);
        Assert.Contains("run r-1: only at InfluxDB, it was pruned here\n", pruned.Output, StringComparison.Ordinal);
        Assert.Contains("1 runs there are not in this archive.", pruned.Output, StringComparison.Ordinal);
    }

    [Fact(Timeout = 120000)]
    public async Task A_server_that_understands_neither_language_cannot_be_compared()
    {
        await using var stub = await StubServer.StartAsync(TestContext.Current.CancellationToken);
        using var bench = new OutboxBench(stub.Url);
        await using var archive = bench.Open();

        (await CompareAsync(bench, All)).Refused("influx", "cannot be compared: by Flux: ", "; by InfluxQL: ", "status 404: path not found");
        bench.Influx = bench.Influx with { Url = new("http://127.0.0.1:1/") };
        (await CompareAsync(bench, All)).Refused("influx", "nothing listens at http://127.0.0.1:1/");
    }

    [Fact]
    public void Without_the_key_or_an_archive_the_verbs_say_so()
    {
        var folder = TestFolders.Make("acquire-influx-");
        var file = Path.Combine(folder, "acquire.json");
        File.WriteAllText(file, """{ "testers": [] }""");
        Ran.Command(InfluxCommand.Build(), "status", "--config", file).Refused($"{file}: influx", "is missing: nothing is handed on");
        File.WriteAllText(file, """{ "testers": [], "influx": { "url": "http://127.0.0.1:8086", "org": "lab", "bucket": "oils" } }""");
        Ran.Command(InfluxCommand.Build(), "compare", "--config", file).Refused("--data", "there is no archive");
    }

    // The answer to a count by run, as the description of the interface has it: annotated CSV.
    private static string Annotated(StubServer stub, string query)
    {
        var measurement = MeasurementOf().Match(query).Groups[1].Value;
        var counts = stub.Points.Values.Where(point => point.Measurement == measurement).CountBy(point => point.Tag("run")!);
        return "#datatype,string,long,string,long\r\n#group,false,false,true,false\r\n#default,_result,,,\r\n,result,table,run,_value\r\n"
            + string.Concat(counts.Select((pair, table) => $",,{table},{pair.Key},{pair.Value}\r\n")) + "\r\n";
    }

    private static Task<Ran> CompareAsync(OutboxBench bench, RunChoice choice) => RunAsync(bench, session => CompareCommand.RunAsync(session, choice, Cancelled));

    private static async Task<Ran> RunAsync(OutboxBench bench, Func<InfluxSession, Task<int>> verb)
    {
        using var output = new StringWriter();
        using var error = new StringWriter();
        var session = new InfluxSession(bench.Influx, new OutboxOptions(bench.Path) { Around = bench.Around }, output, error);
        var code = await session.RunAsync(() => verb(session));
        return new(code, output.ToString(), error.ToString());
    }

    [GeneratedRegex(@"r\._measurement == \\""(\w+)\\""")]
    private static partial Regex MeasurementOf();

    [GeneratedRegex(@"complete   as of \d{4}-\d\d-\d\d \d\d:\d\d:\d\d UTC")]
    private static partial Regex AsOf();
}
