using System.Globalization;
using System.Net;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Influx;
using Acquire.Service.Archive.Influx.Lines;
using Acquire.Service.Lanes.Watching;
using Acquire.Service.Tests.Sources;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.Time.Testing;
using Xunit;

namespace Acquire.Service.Tests.Archive.Influx;

/// <summary>Whatever the server does: nothing is lost, nothing is doubled, and a person reads what it was.</summary>
public sealed class OutboxFaultTests : IAsyncLifetime
{
    private const int Rows = 450;

    private StubServer _stub = null!;
    private OutboxBench _bench = null!;
    private RunArchive _archive = null!;

    private static CancellationToken Cancelled => TestContext.Current.CancellationToken;

    private static int Records => Rows + ArchiveBench.EveryFact.Count + 1;

    private InfluxOverview Overview => _bench.Board.Overview();

    public async ValueTask InitializeAsync()
    {
        _stub = await StubServer.StartAsync(Cancelled);
        _bench = new(_stub.Url);
        _archive = _bench.Open();
        await OutboxBench.WriteRunAsync(_archive, "r-1", ArchiveBench.PlausibleRun(Rows));
    }

    public async ValueTask DisposeAsync()
    {
        await _archive.DisposeAsync();
        await _stub.DisposeAsync();
        _bench.Dispose();
    }

    [Theory(Timeout = 120000)]
    [InlineData(401, """{"code":"unauthorized","message":"unauthorized access"}""", "application/json", "does not take the token (status 401: unauthorized access): check influx.tokenFile")]
    [InlineData(403, """{"code":"forbidden","message":"insufficient permissions"}""", "application/json", "may not write to bucket 'oils' of org 'lab' (status 403: insufficient permissions)")]
    [InlineData(404, """{"code":"not found","message":"bucket \"oils\" not found"}""", "application/json", "knows no bucket 'oils' of org 'lab', or is not InfluxDB (status 404: bucket \"oils\" not found)")]
    [InlineData(200, "<html>sign in", "text/html", "a web page answered")]
    [InlineData(301, "", "text/plain", "says to look elsewhere")]
    [InlineData(405, "no", "text/plain", "refuses (status 405: no): check influx.url")]
    public async Task A_server_that_does_not_let_us_pauses_everything_and_alarms_until_it_is_put_right(int status, string body, string type, string words)
    {
        Assert.False(TestContext.Current.CancellationToken.IsCancellationRequested);
        using var outbox = _bench.Start();
        _stub.Then(StubServer.Say(status, body, type: type), StubServer.Say(status, body, type: type));

        Assert.InRange(await outbox.TurnAsync(Cancelled), TimeSpan.FromSeconds(30), TimeSpan.FromSeconds(60));
        Assert.InRange(await outbox.TurnAsync(Cancelled), TimeSpan.FromSeconds(30), TimeSpan.FromSeconds(60));

        Assert.Equal(InfluxState.Refused, Overview.State);
        Assert.Contains(words, Overview.Text, StringComparison.Ordinal);
        Assert.Contains(Overview.Alarms, alarm => alarm.Code == ServiceAlarmCodes.InfluxRefused && alarm.Text.Contains(words, StringComparison.Ordinal));
        Assert.Empty(_stub.Points);
        await AssertAllAsync(outbox);
    }

    [Theory(Timeout = 120000)]
    [InlineData(503, "7", 7, 8)]
    [InlineData(429, "120", 120, 121)]
    [InlineData(429, "86400", 300, 301)]
    [InlineData(503, "date+40", 40, 41)]
    [InlineData(503, "date-40", 0, 1)]
    [InlineData(503, "soon", 0, 1)]
    [InlineData(503, null, 0, 1)]
    [InlineData(500, null, 0, 1)]
    [InlineData(408, null, 0, 1)]
    public async Task A_server_in_trouble_is_asked_again_as_late_as_it_wants(int status, string? retryAfter, double leastSeconds, double mostSeconds)
    {
        Assert.False(TestContext.Current.CancellationToken.IsCancellationRequested);
        var time = new FakeTimeProvider(ArchiveBench.Start);
        _bench.Time = time;
        using var outbox = _bench.Start();
        var asked = retryAfter?.StartsWith("date", StringComparison.Ordinal) == true
            ? ArchiveBench.Start.AddMilliseconds(-ArchiveBench.Start.Millisecond).AddSeconds(double.Parse(retryAfter[4..], CultureInfo.InvariantCulture)).ToString("R", CultureInfo.InvariantCulture)
            : retryAfter;
        _stub.Then(StubServer.Say(status, """{"message":"busy"}""", asked));

        Assert.InRange((await outbox.TurnAsync(Cancelled)).TotalSeconds, leastSeconds - 0.2, mostSeconds);

        Assert.Equal(InfluxState.Waiting, Overview.State);
        Assert.Contains($"(status {status}: busy)", Overview.Text, StringComparison.Ordinal);
        Assert.Empty(_stub.Points);
        await AssertAllAsync(outbox);
    }

    [Fact(Timeout = 120000)]
    public async Task An_answer_that_does_not_come_in_time_is_not_waited_for_and_what_was_kept_is_sent_again()
    {
        _bench.Influx = _bench.Influx with { TimeoutSeconds = 1 };
        using var outbox = _bench.Start();
        _stub.Then(async (context, lines) =>
        {
            _stub.Keep(lines);
            await SourceSamples.Pause(3, context.RequestAborted);
        });

        await outbox.TurnAsync(TestContext.Current.CancellationToken);

        Assert.Contains("did not answer within 1 s", Overview.Text, StringComparison.Ordinal);
        await AssertAllAsync(outbox, repeats: 200);
    }

    [Theory(Timeout = 120000)]
    [InlineData(false)]
    [InlineData(true)]
    public async Task A_connection_that_is_cut_in_the_middle_of_the_answer_is_no_answer(bool begins)
    {
        Assert.False(TestContext.Current.CancellationToken.IsCancellationRequested);
        using var outbox = _bench.Start();
        _stub.Then(async (context, lines) =>
        {
            _stub.Keep(lines);
            if (begins)
            {
                context.Response.ContentLength = 100;
                await context.Response.WriteAsync("{");
                await context.Response.Body.FlushAsync();
            }

            context.Abort();
        });

        await outbox.TurnAsync(Cancelled);

        Assert.Equal(InfluxState.Waiting, Overview.State);
        Assert.Contains("was lost before the answer had come", Overview.Text, StringComparison.Ordinal);
        await AssertAllAsync(outbox, repeats: 200);
    }

    [Fact(Timeout = 120000)]
    public async Task A_request_that_is_too_large_is_halved_and_the_next_ones_are_smaller()
    {
        using var outbox = _bench.Start();
        _stub.Always = (context, lines) => lines.Length > 60 ? StubServer.Say(413, "too large")(context, lines) : _stub.Take(context, lines);

        await AssertAllAsync(outbox);

        Assert.True(TestContext.Current.CancellationToken.CanBeCanceled);
        // 200 is refused, 100 twice, and then batches have 50 at most.
        Assert.Equal([200, 100, 50, 50, 100, 50, 50], _stub.Requests.Take(7).Select(request => request.Lines));
        Assert.All(_stub.Requests.Skip(7), request => Assert.InRange(request.Lines, 1, 50));
    }

    [Theory(Timeout = 180000)]
    [InlineData(422, true)]
    [InlineData(422, false)]
    [InlineData(400, true)]
    [InlineData(400, false)]
    public async Task Bad_lines_are_found_and_set_aside_with_the_servers_words_and_the_rest_goes_on(int status, bool keepsRest)
    {
        Assert.False(TestContext.Current.CancellationToken.IsCancellationRequested);
        int[] bad = [0, 7, 8, 9, 199, 200, 333, Rows - 1];
        using var outbox = _bench.Start();
        _stub.Always = _stub.RefuseLines(point => point.Measurement == "reading" && bad.Contains((int)(point.Nanoseconds % PointTime.Numbers)), status, keepsRest);

        await OutboxBench.DrainAsync(outbox);

        Assert.Equal(Records - bad.Length, _stub.Points.Keys.Count(key => !key.Series.StartsWith("probe", StringComparison.Ordinal)));
        Assert.Equal(0, _stub.Changes);
        using var store = _bench.Store();
        var aside = store.SetAsides(100);
        Assert.Equal(bad, aside.SelectMany(stretch => Enumerable.Range((int)stretch.First, (int)stretch.Count)));
        Assert.All(aside, stretch => Assert.Equal(("r-1", LineKind.Reading, status, "partial write: field type conflict"), (stretch.RunId, stretch.Kind, stretch.Status, stretch.Words)));
        Assert.Equal([1L, 3, 2, 1, 1], aside.Select(stretch => stretch.Count));
        Assert.Equal((InfluxState.Current, 8), (Overview.State, Overview.SetAside));
        Assert.Contains(Overview.Alarms, alarm => alarm.Code == ServiceAlarmCodes.InfluxSetAside && alarm.Text.Contains("8 records were not taken by InfluxDB and are set aside: partial write: field type conflict", StringComparison.Ordinal));
    }

    [Fact(Timeout = 120000)]
    public async Task A_run_that_the_bucket_no_longer_keeps_is_set_aside_in_a_few_requests()
    {
        await OutboxBench.WriteRunAsync(_archive, "r-2", ArchiveBench.PlausibleRun(Rows), start: ArchiveBench.Start.AddDays(40));
        using var outbox = _bench.Start();
        _stub.Always = _stub.RefuseLines(point => point.Tag("run") == "r-1", 422, keepsRest: true, counts: true);

        await OutboxBench.DrainAsync(outbox);

        Assert.Equal(Records, _stub.Points.Keys.Count(key => !key.Series.StartsWith("probe", StringComparison.Ordinal)));
        Assert.Equal(Records, Overview.SetAside);
        Assert.InRange(_stub.Requests.Count, 6, 40);
        Assert.Equal(0, _stub.Changes);
        Assert.True(TestContext.Current.CancellationToken.CanBeCanceled);
    }

    [Fact(Timeout = 120000)]
    public async Task A_server_that_refuses_every_line_is_not_believed_to_mean_the_lines()
    {
        using var outbox = _bench.Start();
        _stub.Always = StubServer.Say(400, """{"code":"invalid","message":"organization is not valid"}""");

        await outbox.TurnAsync(TestContext.Current.CancellationToken);
        await outbox.TurnAsync(Cancelled);

        Assert.Equal((InfluxState.Refused, 0), (Overview.State, Overview.SetAside));
        Assert.Contains("refuses lines (status 400: organization is not valid), and takes no other line either: check influx.url", Overview.Text, StringComparison.Ordinal);
        // Eight times halved to the first line, the probe, and then that line and the probe again.
        Assert.InRange(_stub.Requests.Count, 8, 12);
        _stub.Always = _stub.Take;
        await AssertAllAsync(outbox);
    }

    [Fact(Timeout = 120000)]
    public async Task A_line_over_which_the_server_stumbles_again_and_again_does_not_hold_up_the_rest()
    {
        using var outbox = _bench.Start();
        _stub.Always = _stub.RefuseLines(point => point.Measurement == "reading" && point.Nanoseconds % PointTime.Numbers == 77, 500, keepsRest: false);

        await OutboxBench.DrainAsync(outbox);

        Assert.Equal(Records - 1, _stub.Points.Keys.Count(key => !key.Series.StartsWith("probe", StringComparison.Ordinal)));
        using var store = _bench.Store();
        var aside = Assert.Single(store.SetAsides(10));
        Assert.Equal((77, 1, 500), (aside.First, aside.Count, aside.Status));
        Assert.True(TestContext.Current.CancellationToken.CanBeCanceled);
    }

    [Fact(Timeout = 180000, DisableParallelization = true)]
    public async Task A_dead_server_costs_delay_only_and_is_told_and_alarmed()
    {
        var time = new FakeTimeProvider(ArchiveBench.Start);
        _bench.Time = time;
        using var outbox = _bench.Start();
        await OutboxBench.DrainAsync(outbox);
        var port = _stub.Url.Port;
        await _stub.DisposeAsync();
        var backlog = ArchiveBench.PlausibleRun(4000);
        var before = (Bytes: GC.GetTotalMemory(forceFullCollection: true), Points: _stub.Points.Count);
        for (var round = 0; round < 60; round++)
        {
            await OutboxBench.WriteRunAsync(_archive, $"later-{round}", backlog, start: ArchiveBench.Start.AddHours(round));
            Assert.InRange((await outbox.TurnAsync(TestContext.Current.CancellationToken)).TotalSeconds, 0, 60);
            time.Advance(TimeSpan.FromMinutes(6));
        }

        // As rows in memory the backlog is 60 times 4,000 of more than 100 bytes each. What grows is SQLite's own, and of the tests around it.
        Assert.InRange(GC.GetTotalMemory(forceFullCollection: true) - before.Bytes, long.MinValue, 15_000_000);
        Assert.Equal(InfluxState.Waiting, Overview.State);
        Assert.Contains("nothing listens at", Overview.Text, StringComparison.Ordinal);
        var alarm = Assert.Single(Overview.Alarms);
        Assert.Equal(ServiceAlarmCodes.InfluxBehind, alarm.Code);
        Assert.Contains("InfluxDB is 6.0 h behind (allowed: 5 min)", alarm.Text, StringComparison.Ordinal);
        Assert.Contains("Nothing is lost", alarm.Text, StringComparison.Ordinal);

        await using var again = await StubServer.StartAsync(Cancelled, port);
        await OutboxBench.DrainAsync(outbox);

        Assert.Equal(60 * (Records - Rows + backlog.Length), again.Points.Count);
        Assert.Equal(0, again.Changes);
        Assert.Empty(Overview.Alarms);
    }

    [Fact(Timeout = 120000)]
    public async Task Where_it_is_refused_and_behind_both_alarms_stand_and_the_servers_words_are_said_once()
    {
        var time = new FakeTimeProvider(ArchiveBench.Start);
        _bench.Time = time;
        using var outbox = _bench.Start();
        _stub.Then(StubServer.Say(401, """{"code":"unauthorized","message":"unauthorized access"}"""));
        await outbox.TurnAsync(TestContext.Current.CancellationToken);
        time.Advance(TimeSpan.FromMinutes(6));

        var alarms = Overview.Alarms;

        Assert.Equal([ServiceAlarmCodes.InfluxRefused, ServiceAlarmCodes.InfluxBehind], alarms.Select(alarm => alarm.Code));
        Assert.Contains("status 401: unauthorized access", alarms[0].Text, StringComparison.Ordinal);
        Assert.DoesNotContain("unauthorized", alarms[1].Text, StringComparison.Ordinal);
        Assert.EndsWith("of 1 runs wait. Nothing is lost: everything is in the archive.", alarms[1].Text, StringComparison.Ordinal);
    }

    [Fact(Timeout = 120000)]
    public async Task A_name_that_is_not_known_and_a_port_that_speaks_no_TLS_are_told_in_words()
    {
        _bench.Influx = _bench.Influx with { Url = new("http://no-such-host.invalid:8086/") };
        using (var lost = _bench.Start())
        {
            await lost.TurnAsync(TestContext.Current.CancellationToken);
            Assert.Contains("the host of http://no-such-host.invalid:8086/ is not known: check its name in influx.url", Overview.Text, StringComparison.Ordinal);
        }

        _bench.Influx = _bench.Influx with { Url = new($"https://127.0.0.1:{_stub.Url.Port}/") };
        using var plain = _bench.Start();
        await plain.TurnAsync(Cancelled);

        Assert.Equal(InfluxState.Refused, Overview.State);
        Assert.Contains("does not speak TLS as this computer does", Overview.Text, StringComparison.Ordinal);
    }

    [Fact(Timeout = 120000)]
    public async Task The_token_is_read_from_its_file_again_once_it_was_refused()
    {
        var file = Path.Combine(_bench.Archive.Folder, "token");
        await File.WriteAllTextAsync(file, "old-one\n", TestContext.Current.CancellationToken);
        _bench.Influx = _bench.Influx with { TokenFile = file };
        using var outbox = _bench.Start();
        _stub.Always = (context, lines) => context.Request.Headers.Authorization == "Token new-one" ? _stub.Take(context, lines) : StubServer.Say((int)HttpStatusCode.Unauthorized)(context, lines);
        await outbox.TurnAsync(Cancelled);
        Assert.Equal(InfluxState.Refused, Overview.State);
        File.Delete(file);
        await outbox.TurnAsync(Cancelled);
        Assert.Contains("influx.tokenFile: the token cannot be read", Overview.Text, StringComparison.Ordinal);

        await File.WriteAllTextAsync(file, "new-one\n", Cancelled);
        await AssertAllAsync(outbox);

        Assert.Equal("Token old-one", _stub.Requests.First().Authorization);
        Assert.Equal("Token new-one", _stub.Requests.Last().Authorization);
    }

    private async Task AssertAllAsync(Outbox outbox, int repeats = 0)
    {
        await OutboxBench.DrainAsync(outbox);

        Assert.Equal(Records, _stub.Points.Keys.Count(key => !key.Series.StartsWith("probe", StringComparison.Ordinal)));
        Assert.Equal((repeats, 0), (_stub.Repeats, _stub.Changes));
        Assert.Equal((InfluxState.Current, 0, 0), (Overview.State, Overview.LagRows, Overview.SetAside));
        Assert.Empty(Overview.Alarms);
    }
}
