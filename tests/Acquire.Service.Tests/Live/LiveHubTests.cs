using System.Diagnostics;
using System.Net.WebSockets;
using System.Text;
using Acquire.Core.Runs;
using Acquire.Service.Live;
using Acquire.Service.Tests.Lanes;
using Microsoft.AspNetCore.SignalR;
using Microsoft.AspNetCore.SignalR.Client;
using Xunit;

namespace Acquire.Service.Tests.Live;

public sealed class LiveHubTests
{
    private static CancellationToken Cancelled => TestContext.Current.CancellationToken;

    [Fact(Timeout = 30000)]
    public async Task A_late_reader_gets_the_same_run_as_an_early_one_and_as_the_archive()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);
        var run = await bench.StartRunAsync();
        var (early, late, afterwards, rest) = (new HeldRun(), new HeldRun(), new HeldRun(), new HeldRun());
        var earlyReading = early.ReadAsync(await bench.ConnectAsync(), run.Id, () => false);
        await bench.SendAsync(TestTester.Heating(100, 9_000));
        var lateReading = late.ReadAsync(await bench.ConnectAsync(), run.Id, () => false);
        await bench.SendAsync(TestTester.Heating(1000, 3_000));
        await bench.UntilRowsAsync(run.Id, 12_000);

        await bench.StopRunAsync(run.Id);
        await Task.WhenAll(earlyReading, lateReading);
        await afterwards.ReadAsync(await bench.ConnectAsync(), run.Id, () => false);
        rest.Add(await bench.GetAsync<CurveStretch>($"/api/runs/{run.Id}/curve?from=0"));

        Assert.Equal(6000, early.Points.Count);
        Assert.Equal(early.Points, late.Points);
        Assert.Equal(early.Points, afterwards.Points);
        Assert.Equal(early.Points, rest.Points);
        Assert.IsType<RunClosed>(early.Events[^1]);
        Assert.Equal(early.Events.Count, late.Events.Count);
        Assert.Equal(early.Events.Select(one => (one.GetType(), one.AtSeconds)), late.Events.Select(one => (one.GetType(), one.AtSeconds)));
        Assert.Null(early.Newest!.Status);
        Assert.Equal(12_000, early.Newest.Summary.ArchivedRows);
        Assert.NotNull(early.Newest.Summary.ClosedAt);
    }

    [Fact(Timeout = 30000)]
    public async Task A_reader_that_comes_back_goes_on_where_it_was_without_hole_or_duplicate()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);
        var run = await bench.StartRunAsync();
        var (whole, broken) = (new HeldRun(), new HeldRun());
        var wholeReading = whole.ReadAsync(await bench.ConnectAsync(), run.Id, () => false);
        await bench.SendAsync(TestTester.Heating(0, 500));
        await broken.ReadAsync(await bench.ConnectAsync(), run.Id, () => broken.Points.Count >= 200);
        await bench.SendAsync(TestTester.Heating(50, 500));
        await broken.ReadAsync(await bench.ConnectAsync(), run.Id, () => broken.Points.Count >= 400);
        await bench.SendAsync(TestTester.Heating(100, 500));
        await bench.UntilRowsAsync(run.Id, 1500);

        await bench.StopRunAsync(run.Id);
        await broken.ReadAsync(await bench.ConnectAsync(), run.Id, () => false);
        await wholeReading;

        Assert.Equal(750, whole.Points.Count);
        Assert.Equal(whole.Points, broken.Points);
        Assert.Equal(whole.Events.Select(one => (one.GetType(), one.AtSeconds)), broken.Events.Select(one => (one.GetType(), one.AtSeconds)));
    }

    [Fact(Timeout = 30000)]
    public async Task A_run_that_left_the_memory_is_streamed_from_the_archive_with_the_same_points()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);
        var run = await bench.StartRunAsync();
        await bench.SendAsync(TestTester.Heating(3, 777));
        await bench.UntilRowsAsync(run.Id, 777);
        await bench.StopRunAsync(run.Id);
        var connection = await bench.ConnectAsync();
        var (live, rebuilt) = (new HeldRun(), new HeldRun());
        await live.ReadAsync(connection, run.Id, () => false);

        await bench.StartRunAsync();
        await rebuilt.ReadAsync(connection, run.Id, () => false);

        Assert.Equal(389, live.Points.Count);
        Assert.Equal(live.Points, rebuilt.Points);
        Assert.Equal(live.Newest!.Summary.ClosedAt, rebuilt.Newest!.Summary.ClosedAt);
        Assert.Equal(777, rebuilt.Newest.Summary.ArchivedRows);
    }

    [Theory(Timeout = 30000)]
    [InlineData(-1, 0, "fromPoint")]
    [InlineData(0, -7, "fromEvent")]
    [InlineData(0, 0, "there is no run 'nothing'")]
    public async Task A_request_that_makes_no_sense_is_refused_in_words(int fromPoint, int fromEvent, string says)
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);
        var connection = await bench.ConnectAsync();

        var refusal = await Assert.ThrowsAsync<HubException>(async () =>
        {
            await foreach (var update in connection.StreamAsync<RunUpdate>("Run", "nothing", fromPoint, fromEvent, Cancelled))
            {
                Assert.Fail($"an update came: {update}");
            }
        });

        Assert.Contains(says, refusal.Message, StringComparison.Ordinal);
    }

    [Fact(Timeout = 30000)]
    public async Task The_overview_comes_at_once_then_at_least_each_second_and_at_most_five_times_a_second()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);
        var connection = await bench.ConnectAsync();
        var clock = Stopwatch.StartNew();
        var quiet = await CountAsync(connection, TimeSpan.FromSeconds(2.5));
        using var feeding = CancellationTokenSource.CreateLinkedTokenSource(Cancelled);
        var feed = FeedAsync(bench, feeding.Token);

        var busy = await CountAsync(connection, TimeSpan.FromSeconds(2));
        await feeding.CancelAsync();
        await feed;

        Assert.InRange(quiet, 2, 6);
        Assert.InRange(busy, 4, 11);
        Assert.True(clock.Elapsed < TimeSpan.FromSeconds(20));
    }

    [Fact(Timeout = 30000)]
    public async Task A_reader_that_never_reads_delays_nobody()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);
        var run = await bench.StartRunAsync();
        await bench.SendAsync(TestTester.Heating(0, 20_000));
        using var deaf = new ClientWebSocket();
        await deaf.ConnectAsync(new UriBuilder(bench.Client.BaseAddress!) { Scheme = "ws", Path = "/live" }.Uri, Cancelled);
        await SayAsync(deaf, """{"protocol":"json","version":1}""");
        for (var stream = 0; stream < 8; stream++)
        {
            await SayAsync(deaf, $$"""{"type":4,"invocationId":"{{stream}}","target":"Run","arguments":["{{run.Id}}",0,0]}""");
        }

        var held = new HeldRun();
        var clock = Stopwatch.StartNew();
        await held.ReadAsync(await bench.ConnectAsync(), run.Id, () => held.Points.Count >= 9_999);
        var overviews = await CountAsync(await bench.ConnectAsync(), TimeSpan.FromSeconds(2));

        Assert.True(clock.Elapsed < TimeSpan.FromSeconds(10), $"{clock.Elapsed.TotalSeconds:0.0} s");
        Assert.True(overviews >= 2);
    }

    [Fact(Timeout = 30000)]
    public async Task One_connection_may_hold_only_so_many_streams()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);
        var connection = await bench.ConnectAsync();
        var first = new TaskCompletionSource[StreamSlots.Most];
        using var reading = CancellationTokenSource.CreateLinkedTokenSource(Cancelled);
        for (var index = 0; index < first.Length; index++)
        {
            var came = first[index] = new();
            _ = ReadAsync(connection, came, reading.Token);
        }

        await Task.WhenAll(first.Select(came => came.Task)).WaitAsync(Cancelled);

        var refusal = await Assert.ThrowsAsync<HubException>(() => ReadAsync(connection, new(), Cancelled));

        Assert.Contains("streams already", refusal.Message, StringComparison.Ordinal);
        await reading.CancelAsync();
    }

    private static async Task ReadAsync(HubConnection connection, TaskCompletionSource came, CancellationToken cancellationToken)
    {
        await foreach (var _ in connection.StreamAsync<TesterOverview[]>("Overview", cancellationToken))
        {
            came.TrySetResult();
        }
    }

    private static async Task<int> CountAsync(HubConnection connection, TimeSpan during)
    {
        using var reading = CancellationTokenSource.CreateLinkedTokenSource(Cancelled);
        reading.CancelAfter(during);
        var count = 0;
        try
        {
            await foreach (var overview in connection.StreamAsync<TesterOverview[]>("Overview", reading.Token))
            {
                Assert.Equal(["bench-1", "bench-2"], overview.Select(tester => tester.Id));
                count++;
            }
        }
        catch (OperationCanceledException) when (!Cancelled.IsCancellationRequested)
        {
            // The time is over.
        }

        return count;
    }

    private static async Task FeedAsync(AppBench bench, CancellationToken cancellationToken)
    {
        for (var at = 0.0; !cancellationToken.IsCancellationRequested; at += 0.02)
        {
            await bench.SendAsync([TestTester.Row(at)]);
            await Task.Delay(TimeSpan.FromMilliseconds(20), TimeProvider.System, cancellationToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    private static ValueTask SayAsync(ClientWebSocket socket, string message) =>
        socket.SendAsync(Encoding.UTF8.GetBytes(message + "\u001e"), WebSocketMessageType.Text, WebSocketMessageFlags.EndOfMessage, Cancelled);
}
