using Acquire.Core.Readings;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Influx;
using Acquire.Service.Archive.Influx.Lines;
using Xunit;

namespace Acquire.Service.Tests.Archive.Influx;

/// <summary>The cursor: wherever the outbox ends, and whatever happens to what it kept, the points are the same.</summary>
public sealed class OutboxCursorTests
{
    private static CancellationToken Cancelled => TestContext.Current.CancellationToken;

    [Fact(Timeout = 180000)]
    public async Task An_outbox_that_ends_after_any_turn_goes_on_where_it_was()
    {
        await using var stub = await StubServer.StartAsync(TestContext.Current.CancellationToken);
        using var bench = new OutboxBench(stub.Url);
        await using var archive = bench.Open();
        for (var run = 0; run < 3; run++)
        {
            await OutboxBench.WriteRunAsync(archive, $"r-{run}", ArchiveBench.PlausibleRun(700), start: ArchiveBench.Start.AddHours(run));
        }

        for (var turn = 0; turn < 40; turn++)
        {
            using var outbox = bench.Start();
            await outbox.TurnAsync(Cancelled);
        }

        Assert.Equal(3 * (700 + ArchiveBench.EveryFact.Count + 1), stub.Points.Count);
        Assert.Equal(0, stub.Repeats);
    }

    [Fact(Timeout = 180000)]
    public async Task A_cursor_put_back_to_any_older_state_sends_again_and_no_point_differs()
    {
        await using var stub = await StubServer.StartAsync(TestContext.Current.CancellationToken);
        using var bench = new OutboxBench(stub.Url);
        await using var archive = bench.Open();
        await OutboxBench.WriteRunAsync(archive, "r-1", ArchiveBench.PlausibleSignalRun(900));
        stub.Always = stub.RefuseLines(point => point.Nanoseconds % PointTime.Numbers is 5 or 300, 400, keepsRest: false);
        var states = new List<byte[]>();
        for (var turn = 0; turn < 8; turn++)
        {
            using (var outbox = bench.Start())
            {
                await outbox.TurnAsync(Cancelled);
            }

            states.Add(await File.ReadAllBytesAsync(bench.StatePath, Cancelled));
        }

        var (points, aside) = (stub.Points.Keys.ToHashSet(), Aside(bench));
        foreach (var state in states)
        {
            await File.WriteAllBytesAsync(bench.StatePath, state, Cancelled);
            using var outbox = bench.Start();
            await OutboxBench.DrainAsync(outbox);
            Assert.Equal(aside, Aside(bench));
        }

        Assert.Equal(points.Where(key => !key.Series.StartsWith("probe", StringComparison.Ordinal)).Count(), stub.Points.Keys.Count(key => !key.Series.StartsWith("probe", StringComparison.Ordinal)));
        Assert.True(stub.Repeats > 900);
        Assert.Equal(0, stub.Changes);
        Assert.Equal(3, aside.Count); // rows 5 and 300, and the fact 5
    }

    [Fact(Timeout = 180000)]
    public async Task A_state_that_is_lost_or_damaged_is_begun_anew_and_no_point_differs()
    {
        await using var stub = await StubServer.StartAsync(TestContext.Current.CancellationToken);
        using var bench = new OutboxBench(stub.Url);
        await using var archive = bench.Open();
        await OutboxBench.WriteRunAsync(archive, "r-1", ArchiveBench.PlausibleRun(300));
        for (var round = 0; round < 3; round++)
        {
            using var outbox = bench.Start();
            await OutboxBench.DrainAsync(outbox);
            outbox.Dispose();
            if (round == 0)
            {
                File.Delete(bench.StatePath);
            }
            else
            {
                await File.WriteAllTextAsync(bench.StatePath, new string('x', 9000), Cancelled);
            }
        }

        Assert.Equal(300 + ArchiveBench.EveryFact.Count + 1, stub.Points.Count);
        Assert.Equal((2 * stub.Points.Count, 0), (stub.Repeats, stub.Changes));
        Assert.Single(Directory.GetFiles(bench.Archive.Folder, "influx.db.damaged-*"));
    }

    [Fact(Timeout = 180000)]
    public async Task An_archive_that_was_exchanged_is_sent_from_where_it_differs()
    {
        await using var stub = await StubServer.StartAsync(TestContext.Current.CancellationToken);
        using var bench = new OutboxBench(stub.Url);
        await using (var archive = bench.Open())
        {
            await OutboxBench.WriteRunAsync(archive, "first", ArchiveBench.PlausibleRun(50));
        }

        var older = await File.ReadAllBytesAsync(bench.Path, Cancelled);
        await using (var archive = bench.Open())
        {
            await OutboxBench.WriteRunAsync(archive, "second", ArchiveBench.PlausibleRun(60));
        }

        using (var outbox = bench.Start())
        {
            await OutboxBench.DrainAsync(outbox);
        }

        await File.WriteAllBytesAsync(bench.Path, older, Cancelled);
        await using (var archive = bench.Open())
        {
            await OutboxBench.WriteRunAsync(archive, "other", ArchiveBench.PlausibleRun(70));
        }

        using (var outbox = bench.Start())
        {
            await OutboxBench.DrainAsync(outbox);
        }

        Assert.Equal([50, 70, 60], new[] { "first", "other", "second" }.Select(id => stub.Points.Values.Count(point => point.Measurement == "reading" && point.Tag("run") == id)));
        Assert.Equal(0, stub.Changes);
    }

    [Fact(Timeout = 180000)]
    public async Task An_open_run_is_followed_while_it_grows_and_goes_before_the_backlog()
    {
        await using var stub = await StubServer.StartAsync(TestContext.Current.CancellationToken);
        using var bench = new OutboxBench(stub.Url);
        await using var archive = bench.Open();
        await OutboxBench.WriteRunAsync(archive, "old", ArchiveBench.PlausibleRun(2000));
        await OutboxBench.WriteRunAsync(archive, "open", ArchiveBench.PlausibleRun(100), close: false);
        using var outbox = bench.Start();
        await outbox.TurnAsync(Cancelled);
        Assert.Equal(100, stub.Points.Values.Count(point => point is { Measurement: "reading" } && point.Tag("run") == "open"));
        await OutboxBench.DrainAsync(outbox);
        await archive.AppendRowsAsync("open", ArchiveBench.PlausibleRun(130).AsMemory(100), Cancelled);
        await archive.AppendEventsAsync("open", [ArchiveBench.EveryFact[0]], Cancelled);

        await OutboxBench.DrainAsync(outbox);

        Assert.Equal(130, stub.Points.Values.Count(point => point is { Measurement: "reading" } && point.Tag("run") == "open"));
        Assert.Equal(0, stub.Repeats);
        Assert.DoesNotContain(stub.Points.Values, point => point.Measurement == "result" && point.Tag("run") == "open");
    }

    [Fact(Timeout = 180000)]
    public async Task A_backlog_of_hundreds_of_runs_is_counted_and_an_open_run_does_not_wait_for_it()
    {
        await using var stub = await StubServer.StartAsync(TestContext.Current.CancellationToken);
        using var bench = new OutboxBench(stub.Url);
        await using var archive = bench.Open();
        for (var run = 0; run < 300; run++)
        {
            await OutboxBench.WriteRunAsync(archive, $"r-{run}", ArchiveBench.PlausibleRun(4), start: ArchiveBench.Start.AddHours(run));
        }

        await OutboxBench.WriteRunAsync(archive, "open", ArchiveBench.PlausibleRun(50), close: false, start: ArchiveBench.Start.AddHours(300));
        using var outbox = bench.Start();
        await outbox.TurnAsync(Cancelled);

        Assert.Equal((301, (300 * 4) + 50), (bench.Board.Overview().LagRuns, bench.Board.Overview().LagRows));
        Assert.Equal(50, stub.Points.Values.Count(point => point.Measurement == "reading" && point.Tag("run") == "open"));
        await OutboxBench.DrainAsync(outbox);
        Assert.Equal((300 * (4 + ArchiveBench.EveryFact.Count + 1)) + 50 + ArchiveBench.EveryFact.Count, stub.Points.Count);
        Assert.Equal(0, stub.Repeats);
        Assert.Equal((0, 0), (bench.Board.Overview().LagRuns, bench.Board.Overview().LagRows));
    }

    [Fact(Timeout = 120000)]
    public async Task A_run_that_is_left_open_for_days_keeps_back_none_of_the_hundreds_that_come_after_it()
    {
        await using var stub = await StubServer.StartAsync(TestContext.Current.CancellationToken);
        using var bench = new OutboxBench(stub.Url);
        await using var archive = bench.Open();
        await OutboxBench.WriteRunAsync(archive, "left", ArchiveBench.PlausibleRun(3), close: false);
        await WriteEmptyRunsAsync(archive, 300);

        using (var outbox = bench.Start())
        {
            await OutboxBench.DrainAsync(outbox);
            Assert.Equal(300, stub.Points.Values.Count(point => point.Measurement == "result"));
            Assert.Equal((InfluxState.Current, 0L), (bench.Board.Overview().State, bench.Board.Overview().LagRuns));

            await archive.CloseRunAsync("left", ArchiveBench.Start.AddDays(3), ArchiveBench.Result, TestContext.Current.CancellationToken);
            await OutboxBench.DrainAsync(outbox);
            Assert.Equal(301, stub.Points.Values.Count(point => point.Measurement == "result"));
        }

        using var store = bench.Store();
        Assert.Equal(301, store.DoneThrough);
        Assert.Equal(0, stub.Repeats);
    }

    [Fact(Timeout = 120000)]
    public async Task Nothing_is_called_complete_while_runs_wait_behind_those_that_were_looked_at()
    {
        await using var stub = await StubServer.StartAsync(TestContext.Current.CancellationToken);
        using var bench = new OutboxBench(stub.Url);
        await using var archive = bench.Open();
        await WriteEmptyRunsAsync(archive, 300);

        // As many results in a request as runs are looked at together.
        bench.Influx = bench.Influx with { BatchLines = 256 };
        using var outbox = bench.Start();
        using var store = bench.Store();

        for (var turn = 0; turn < 20 && stub.Points.Count < 300; turn++)
        {
            await outbox.TurnAsync(TestContext.Current.CancellationToken);
            Assert.True(store.CurrentAt is null || stub.Points.Count == 300, $"complete, with {stub.Points.Count} of 300 results");
        }

        await OutboxBench.DrainAsync(outbox);
        Assert.NotNull(store.CurrentAt);
    }

    [Fact(Timeout = 60000)]
    public async Task What_is_set_aside_of_a_run_that_is_pruned_goes_with_it()
    {
        await using var stub = await StubServer.StartAsync(TestContext.Current.CancellationToken);
        using var bench = new OutboxBench(stub.Url);
        await using var archive = bench.Open();
        await OutboxBench.WriteRunAsync(archive, "r-1", ArchiveBench.PlausibleRun(20));
        await OutboxBench.WriteRunAsync(archive, "r-2", ArchiveBench.PlausibleRun(20));
        stub.Always = stub.RefuseLines(point => point.Measurement == "reading", 422, keepsRest: false);
        using (var outbox = bench.Start())
        {
            await OutboxBench.DrainAsync(outbox);
            Assert.Equal(40, bench.Board.Overview().SetAside);
        }

        await archive.PruneAsync(
            new("r-1", ArchiveBench.Start.AddDays(4000), "Bea", "older than ten years", "bench-1", "astm-d92-18", ArchiveBench.Start, ArchiveBench.Start.AddMinutes(30), "doubtful", 0, null), TestContext.Current.CancellationToken);
        using var next = bench.Start();
        await OutboxBench.DrainAsync(next);

        Assert.Equal(20, bench.Board.Overview().SetAside);
        using var store = bench.Store();
        Assert.All(store.SetAsides(100), stretch => Assert.Equal("r-2", stretch.RunId));
    }

    private static async Task WriteEmptyRunsAsync(RunArchive archive, int runs)
    {
        for (var i = 0; i < runs; i++)
        {
            await archive.BeginRunAsync(ArchiveBench.Header($"r-{i}", "bench-2"), TestContext.Current.CancellationToken);
            await archive.CloseRunAsync($"r-{i}", ArchiveBench.Start.AddMinutes(30), ArchiveBench.Result, TestContext.Current.CancellationToken);
        }
    }

    [Fact(Timeout = 180000)]
    public async Task Runs_that_overlap_and_readings_of_one_moment_stay_points_of_their_own()
    {
        await using var stub = await StubServer.StartAsync(TestContext.Current.CancellationToken);
        using var bench = new OutboxBench(stub.Url);
        await using var archive = bench.Open();
        var stuck = ArchiveBench.PlausibleRun(600).Select(row => row with { AtSeconds = 3 }).ToArray();
        ReadingRow[] back = [.. ArchiveBench.PlausibleRun(100), .. ArchiveBench.PlausibleRun(100).Select(row => row with { AtSeconds = row.AtSeconds - 1, Marks = ReadingMarks.Late })];
        await OutboxBench.WriteRunAsync(archive, "a", stuck);
        await OutboxBench.WriteRunAsync(archive, "b", stuck);
        await OutboxBench.WriteRunAsync(archive, "c", back);
        using var outbox = bench.Start();

        await OutboxBench.DrainAsync(outbox);

        Assert.Equal([600, 600, 200], new[] { "a", "b", "c" }.Select(id => stub.Points.Values.Count(point => point.Measurement == "reading" && point.Tag("run") == id)));
        Assert.Equal(0, stub.Repeats);
    }

    [Fact(Timeout = 180000)]
    public async Task Records_that_cannot_be_read_or_told_are_set_aside_and_do_not_hold_up_the_rest()
    {
        await using var stub = await StubServer.StartAsync(TestContext.Current.CancellationToken);
        using var bench = new OutboxBench(stub.Url);
        await using (var archive = bench.Open(new() { ChunkRows = 100 }))
        {
            var rows = ArchiveBench.PlausibleRun(1000);
            rows[550] = rows[550] with { AtSeconds = 1e300 };
            await OutboxBench.WriteRunAsync(archive, "r-1", rows);
            await OutboxBench.WriteRunAsync(archive, "r-2", ArchiveBench.PlausibleRun(10));
            await OutboxBench.WriteRunAsync(archive, "r-3", ArchiveBench.PlausibleRun(10));
        }

        using (var stranger = bench.Archive.Stranger(writes: true))
        {
            ArchiveBench.Ask(stranger, "UPDATE chunks SET body = x'0102' WHERE run = 1 AND chunk = 2");
            ArchiveBench.Ask(stranger, "DELETE FROM chunks WHERE run = 1 AND chunk = 7");
            ArchiveBench.Ask(stranger, "UPDATE events SET body = 'x' WHERE run = 1 AND sequence = 3");
            ArchiveBench.Ask(stranger, "UPDATE runs SET result = '{' WHERE number = 1");
            ArchiveBench.Ask(stranger, "UPDATE runs SET started_at_utc = 'yesterday' WHERE number = 2");
        }

        using var outbox = bench.Start();
        await OutboxBench.DrainAsync(outbox);

        Assert.Equal([799, 0, 10], new[] { "r-1", "r-2", "r-3" }.Select(id => stub.Points.Values.Count(point => point.Measurement == "reading" && point.Tag("run") == id)));
        Assert.Equal(
            ["r-1 Reading 200+100", "r-1 Reading 550+1", "r-1 Reading 700+100", "r-1 Event 3+1", "r-1 Result 0+1", "r-2 Reading 0+10", $"r-2 Event 0+{ArchiveBench.EveryFact.Count}"],
            Aside(bench));
        using var store = bench.Store();
        Assert.All(store.SetAsides(100), stretch => Assert.StartsWith("not sent: ", stretch.Words, StringComparison.Ordinal));
    }

    private static List<string> Aside(OutboxBench bench)
    {
        using var store = bench.Store();
        return [.. store.SetAsides(1000).Select(stretch => $"{stretch.RunId} {stretch.Kind} {stretch.First}+{stretch.Count}")];
    }
}
