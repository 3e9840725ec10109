using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Xunit;

namespace Acquire.Service.Tests.Lanes.Resuming;

/// <summary>Where nobody can say that a run may go on, it is interrupted, and its record says why.</summary>
public sealed class NotResumedTests : IAsyncLifetime
{
    private const double TesterStartSeconds = 700.3;
    private readonly ResumeBench _bench = new();

    public ValueTask InitializeAsync() => ValueTask.CompletedTask;

    public ValueTask DisposeAsync() => _bench.DisposeAsync();

    private static IEnumerable<ReadingRow> Heating(double from, int rows) => TestTester.Heating(TesterStartSeconds + from, rows);

    private async Task<string> BrokenOffAsync(CancellationToken cancelled)
    {
        await _bench.StartAsync(cancelled);
        var run = await _bench.BeginAsync();
        await _bench.SendAsync(Heating(0, 100));
        await _bench.ArchivedAsync(run, 100);
        return run;
    }

    private async Task AssertInterruptedAsync(string run, string why)
    {
        await _bench.UntilAsync(() => _bench.Archive.FindRun(run)!.Summary.Interrupted);
        Assert.Contains(why, Assert.IsType<RunInterrupted>(_bench.Facts(run)[^1]).Text, StringComparison.Ordinal);
        Assert.Equal(CommandOutcome.NotOpen, (await _bench.Lane.StopAsync(run, TestContext.Current.CancellationToken)).Outcome);
        await _bench.BeginAsync();
        await _bench.AssertSoundAsync();
    }

    [Fact(Timeout = 60000)]
    public async Task Away_for_too_long()
    {
        var run = await BrokenOffAsync(TestContext.Current.CancellationToken);
        await _bench.AgainAsync(secondsAway: 620);
        await AssertInterruptedAsync(run, "10.3 min ago; a run goes on after at most 10 min");
    }

    [Fact(Timeout = 60000)]
    public async Task Never_where_the_configuration_says_so()
    {
        var run = await BrokenOffAsync(TestContext.Current.CancellationToken);
        await _bench.AgainAsync(secondsAway: 1, withinMinutes: 0);
        await AssertInterruptedAsync(run, "resume.withinMinutes");
    }

    [Fact(Timeout = 60000)]
    public async Task The_tester_was_started_again_meanwhile()
    {
        var run = await BrokenOffAsync(TestContext.Current.CancellationToken);
        await _bench.AgainAsync();
        await _bench.SendAsync(TestTester.Heating(20, 5));
        await AssertInterruptedAsync(run, "the tester's own time went back");
    }

    [Fact(Timeout = 60000)]
    public async Task The_testers_own_time_says_that_it_was_too_long()
    {
        var run = await BrokenOffAsync(TestContext.Current.CancellationToken);
        await _bench.AgainAsync();
        await _bench.SendAsync(Heating(1000, 5));
        await AssertInterruptedAsync(run, "16.5 min of readings are missing");
    }

    [Fact(Timeout = 60000)]
    public async Task No_row_comes_any_more()
    {
        var run = await BrokenOffAsync(TestContext.Current.CancellationToken);
        await _bench.AgainAsync(secondsAway: 300);
        await _bench.LaterAsync(() => _bench.Run is { Interrupted: true }, stepSeconds: 5);
        await AssertInterruptedAsync(run, "no reading came within 5 min");
    }

    [Fact(Timeout = 60000)]
    public async Task The_clock_of_the_computer_went_back_and_rows_carry_no_time_of_their_own()
    {
        var stamped = ResumedRunTests.Stamped();
        await _bench.StartAsync(TestContext.Current.CancellationToken, stamped);
        var run = await _bench.BeginAsync();
        await _bench.SendAsync(TestTester.Row(_bench.Lane.Inbox.ArrivalSeconds));
        await _bench.ArchivedAsync(run, 1);
        await _bench.EndAsync();
        _bench.ClockSet = TimeSpan.FromMinutes(-2);
        await _bench.AgainAsync(5, stamped);
        await AssertInterruptedAsync(run, "the clock of this computer went back");
    }

    [Fact(Timeout = 60000)]
    public async Task The_clock_of_the_computer_went_back_and_rows_carry_the_testers_time_so_it_goes_on_all_the_same()
    {
        var run = await BrokenOffAsync(TestContext.Current.CancellationToken);
        await _bench.EndAsync();
        _bench.ClockSet = TimeSpan.FromMinutes(-2);
        await _bench.AgainAsync(5);
        await _bench.SendAsync(Heating(20, 5));
        await _bench.ArchivedAsync(run, 105);
        Assert.Null(_bench.Facts(run).OfType<RunResumed>().Single().SecondsAway);
    }

    public static TheoryData<string, string> Changes => new()
    {
        { "mode", "another mode" },
        { "thermometer", "thermometer" },
        { "wire", "wire" },
        { "tester", "no tester 'bench-1'" },
    };

    [Theory(Timeout = 60000)]
    [MemberData(nameof(Changes))]
    public async Task The_tester_is_configured_differently_now(string what, string why)
    {
        var run = await BrokenOffAsync(TestContext.Current.CancellationToken);
        var config = TestTester.Config();
        await _bench.AgainAsync(config: what switch
        {
            "mode" => config with { Mode = RunMode.Guided },
            "thermometer" => config with { Thermometer = config.Thermometer with { Lag = new(5, true) } },
            "wire" => config with { Source = (SourceConfig.Serial)config.Source with { Port = "/dev/another" } },
            _ => TestTester.Config("bench-2"),
        });

        await AssertInterruptedAsync(run, why);
    }

    [Fact(Timeout = 60000)]
    public async Task The_record_gives_other_facts_than_were_archived()
    {
        var run = await BrokenOffAsync(TestContext.Current.CancellationToken);
        await _bench.EndAsync();
        await using (var archive = _bench.Open())
        {
            archive.TakeUp(run);
            await archive.AppendEventsAsync(run, [new FlashDetected(5, 61, 1)], TestContext.Current.CancellationToken);
        }

        await _bench.AgainAsync();
        await AssertInterruptedAsync(run, "judges differently");
    }

    [Fact(Timeout = 60000)]
    public async Task A_lane_that_failed_has_given_it_up_and_a_later_start_does_not_take_it_up()
    {
        var run = await BrokenOffAsync(TestContext.Current.CancellationToken);
        await _bench.FailAsync();
        await AssertInterruptedAsync(run, "failed in this tester's lane");
    }

    [Fact(Timeout = 60000)]
    public async Task An_older_run_of_the_tester_that_has_no_end_stays_behind()
    {
        var run = await BrokenOffAsync(TestContext.Current.CancellationToken);
        await _bench.EndAsync();
        await using (var archive = _bench.Open())
        {
            await archive.BeginRunAsync(archive.ReadHeader(run) with { Id = "20261125T203000Z-bench-1-next" }, TestContext.Current.CancellationToken);
        }

        await _bench.AgainAsync();
        await _bench.UntilAsync(() => _bench.Run?.Id == "20261125T203000Z-bench-1-next");
        Assert.Contains("another run", Assert.IsType<RunInterrupted>(_bench.Facts(run)[^1]).Text, StringComparison.Ordinal);
        Assert.Equal(1, _bench.Run!.Resumed);
    }

    [Fact(Timeout = 60000)]
    public async Task An_older_run_of_the_tester_that_has_no_end_is_not_taken_up_behind_one_that_has()
    {
        var cancelled = TestContext.Current.CancellationToken;
        var run = await BrokenOffAsync(cancelled);
        await _bench.EndAsync();
        await using (var archive = _bench.Open())
        {
            const string Next = "20261125T203000Z-bench-1-next";
            await archive.BeginRunAsync(archive.ReadHeader(run) with { Id = Next }, cancelled);
            await archive.InterruptAsync(Next, _bench.Time.GetUtcNow(), new(0, "x"), cancelled);
        }

        await _bench.AgainAsync();
        await AssertInterruptedAsync(run, "another run");
    }

    [Fact(Timeout = 60000)]
    public async Task Facts_of_it_were_taken_away_that_the_chain_knows_and_the_other_runs_are_kept()
    {
        var cancelled = TestContext.Current.CancellationToken;
        await _bench.StartAsync(cancelled);
        var run = await _bench.BeginAsync();
        await _bench.SendAsync(Heating(0, 1100));
        await _bench.ArchivedAsync(run, 1100);
        await _bench.EndAsync();
        _bench.Tamper("DELETE FROM events WHERE sequence = (SELECT max(sequence) FROM events)");

        await _bench.AgainAsync();
        await _bench.UntilAsync(() => _bench.Archive.FindRun(run)!.Summary.Interrupted);
        Assert.Contains($"its record is damaged (The record of run '{run}' is damaged at event", Assert.IsType<RunInterrupted>(_bench.Facts(run)[^1]).Text, StringComparison.Ordinal);
        var next = await _bench.BeginAsync();
        await _bench.SendAsync(Heating(2000, 1100));
        await _bench.ArchivedAsync(next, 1100);
        Assert.Null(_bench.Archive.Trouble);
        Assert.All(await _bench.FaultsAsync(), fault => Assert.Contains($"'{run}', event", fault, StringComparison.Ordinal));
    }
}
