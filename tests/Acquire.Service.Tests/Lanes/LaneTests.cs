using Acquire.Core.Alarms;
using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Service.Lanes;
using Acquire.Service.Lanes.Watching;
using Acquire.Service.Live;
using Xunit;

namespace Acquire.Service.Tests.Lanes;

public sealed class LaneTests
{
    [Fact(Timeout = 30000)]
    public async Task Rows_are_archived_on_the_runs_own_axis_and_keep_their_distances()
    {
        await using var bench = new LaneBench(TestTester.Config(), TestContext.Current.CancellationToken);
        await bench.SendAsync(TestTester.Row(1000.0));
        await bench.MeanwhileAsync(() => bench.Status is not null);
        var run = await bench.StartAsync();

        await bench.SendAsync(TestTester.Row(1000.1), TestTester.Row(1000.3), TestTester.Row(1000.2), TestTester.Row(1001.1));
        await bench.UntilAsync(() => bench.Archive.ArchivedRows(run.Id) == 4);

        Assert.Equal([0.0, 0.2, 0.1, 1.0], bench.Archive.ReadRows(run.Id).Select(row => row.AtSeconds));
    }

    [Fact(Timeout = 30000)]
    public async Task Late_row_is_archived_with_its_mark_and_neither_ends_the_run_nor_counts_as_the_newest()
    {
        await using var bench = new LaneBench(TestTester.Config(), TestContext.Current.CancellationToken);
        var run = await bench.StartAsync();
        var late = TestTester.Row(1001, 31) with { Marks = ReadingMarks.Late };
        await bench.SendAsync(late with { AtSeconds = 990 }, TestTester.Row(1000), TestTester.Row(1010, 40), late, late with { AtSeconds = 999 }, TestTester.Row(1010.1, 41));
        await bench.UntilAsync(() => bench.Archive.ArchivedRows(run.Id) == 4);

        Assert.Equal(
            [(0.0, ReadingMarks.None), (10.0, ReadingMarks.None), (1.0, ReadingMarks.Late), (10.1, ReadingMarks.None)],
            bench.Archive.ReadRows(run.Id).Select(row => (row.AtSeconds, row.Marks)));
        Assert.Equal((run.Id, null), (bench.Run!.Id, bench.Run.ClosedAt));
        await bench.StopAsync(run.Id);
        Assert.Contains(bench.Timelines.Find(run.Id)!.Events(0, 1000).OfType<RunClosed>().Single().Result.Findings, finding => finding.Code == FindingCodes.TimeNotForward);
    }

    [Fact(Timeout = 30000)]
    public async Task Between_runs_the_newest_values_are_shown_and_nothing_is_archived()
    {
        await using var bench = new LaneBench(TestTester.Config(), TestContext.Current.CancellationToken);

        await bench.SendAsync(TestTester.Row(7, 31.5, 0.25));
        await bench.MeanwhileAsync(() => bench.Status is not null);

        Assert.Equal((RunPhase.Ready, 7, 31.5, 0.25), (bench.Status!.Phase, bench.Status.AtSeconds, bench.Status.TemperatureCelsius, bench.Status.Detector));
        Assert.Null(bench.Run);
        Assert.Empty(bench.Archive.ListRuns(null, 10));
    }

    [Fact(Timeout = 30000)]
    public async Task Start_is_refused_while_a_run_is_open_and_stop_is_refused_for_any_other_run()
    {
        await using var bench = new LaneBench(TestTester.Config(), TestContext.Current.CancellationToken);
        var run = await bench.StartAsync();

        var second = await bench.Lane.StartAsync(TestTester.Order, TestContext.Current.CancellationToken);
        var other = await bench.Lane.StopAsync("another", TestContext.Current.CancellationToken);

        Assert.Equal(CommandOutcome.RunIsOpen, second.Outcome);
        Assert.Contains(run.Id, second.Text, StringComparison.Ordinal);
        Assert.Equal(CommandOutcome.NotOpen, other.Outcome);
        Assert.Equal(run.Id, bench.Run!.Id);
    }

    [Fact(Timeout = 30000)]
    public async Task Stop_closes_the_run_with_a_result_and_the_lane_takes_the_next_one()
    {
        await using var bench = new LaneBench(TestTester.Config(), TestContext.Current.CancellationToken);
        var run = await bench.StartAsync();
        await bench.SendAsync(TestTester.Heating(0, 25));
        await bench.UntilAsync(() => bench.Archive.ArchivedRows(run.Id) == 25);

        var closed = await bench.StopAsync(run.Id);

        Assert.NotNull(closed.ClosedAt);
        Assert.NotNull(closed.Result);
        Assert.Equal(25, closed.ArchivedRows);
        var timeline = bench.Timelines.Find(run.Id)!;
        Assert.True(timeline.Ended);
        Assert.IsType<RunClosed>(timeline.Events(0, 1000)[^1]);
        Assert.Equal(RunPhase.Closed, bench.Status!.Phase);
        Assert.Equal(closed.ClosedAt, bench.Run!.ClosedAt);
        Assert.NotEqual(run.Id, (await bench.StartAsync()).Id);
    }

    [Fact(Timeout = 30000)]
    public async Task A_tester_that_starts_again_ends_the_run_that_was_open()
    {
        await using var bench = new LaneBench(TestTester.Config(), TestContext.Current.CancellationToken);
        var run = await bench.StartAsync();
        await bench.SendAsync(TestTester.Row(50), TestTester.Row(60));

        await bench.SendAsync(TestTester.Row(58.9));

        await bench.MeanwhileAsync(() => bench.Run?.ClosedAt is not null);
        Assert.Equal([0.0, 10.0], bench.Archive.ReadRows(run.Id).Select(row => row.AtSeconds));
    }

    [Fact(Timeout = 30000)]
    public async Task A_step_back_of_a_second_or_less_is_kept_in_the_run()
    {
        await using var bench = new LaneBench(TestTester.Config(), TestContext.Current.CancellationToken);
        var run = await bench.StartAsync();

        await bench.SendAsync(TestTester.Row(0), TestTester.Row(10), TestTester.Row(9), TestTester.Row(11));
        await bench.UntilAsync(() => bench.Archive.ArchivedRows(run.Id) == 4);

        Assert.Null(bench.Run!.ClosedAt);
    }

    [Fact(Timeout = 30000)]
    public async Task A_tester_switched_on_after_the_start_button_does_not_end_the_run()
    {
        await using var bench = new LaneBench(TestTester.Config(), TestContext.Current.CancellationToken);
        await bench.SendAsync(TestTester.Row(500));
        await bench.MeanwhileAsync(() => bench.Status is not null);
        var run = await bench.StartAsync();

        await bench.SendAsync(TestTester.Row(0), TestTester.Row(1));
        await bench.UntilAsync(() => bench.Archive.ArchivedRows(run.Id) == 2);

        Assert.Null(bench.Run!.ClosedAt);
    }

    [Fact(Timeout = 30000)]
    public async Task A_row_that_is_not_finite_is_refused_and_counted()
    {
        await using var bench = new LaneBench(TestTester.Config(), TestContext.Current.CancellationToken);
        var run = await bench.StartAsync();

        await bench.SendAsync(TestTester.Row(0), TestTester.Row(double.NaN), TestTester.Row(1, double.PositiveInfinity), NotFinite(RowChannels.Signal), NotFinite(RowChannels.Junction),
            NotFinite(RowChannels.Heater), NotFinite(RowChannels.Stirrer), NotFinite(RowChannels.Air), NotFinite(RowChannels.Ambient), NotFinite(RowChannels.SecondDetector), TestTester.Row(2));
        await bench.UntilAsync(() => bench.Archive.ArchivedRows(run.Id) == 2);

        Assert.Equal(9, bench.Lane.Overview().Counters.Malformed);
    }

    [Fact(Timeout = 30000)]
    public async Task The_newest_value_of_a_second_detector_is_seen_between_runs_and_in_one()
    {
        await using var bench = new LaneBench(TestTester.Config(), TestContext.Current.CancellationToken);
        await bench.SendAsync(Told(0, 14.2));
        await bench.MeanwhileAsync(() => bench.Status?.SecondDetector == 14.2);
        var run = await bench.StartAsync();

        await bench.SendAsync(Told(1, 14.3), TestTester.Row(2));
        await bench.UntilAsync(() => bench.Archive.ArchivedRows(run.Id) == 2);
        await bench.MeanwhileAsync(() => bench.Status?.SecondDetector == 14.3);

        Assert.Equal([14.3, 0], bench.Archive.ReadRows(run.Id).Select(row => row.SecondDetector));

        static ReadingRow Told(double at, double second) => TestTester.Row(at) is var row ? row with { Present = row.Present | RowChannels.SecondDetector, SecondDetector = second } : default;
    }

    [Fact(Timeout = 30000)]
    public async Task Ending_the_service_archives_what_waits_and_leaves_the_run_open()
    {
        await using var bench = new LaneBench(TestTester.Config(), TestContext.Current.CancellationToken);
        var run = await bench.StartAsync();
        await bench.SendAsync(TestTester.Heating(0, 3000));

        await bench.EndAsync();

        Assert.Equal(3000, bench.Archive.ReadRows(run.Id).Count());
        Assert.Null(bench.Archive.FindRun(run.Id)!.Summary.ClosedAt);
    }

    [Fact(Timeout = 30000)]
    public async Task Silence_during_a_run_is_alarmed_and_the_next_row_ends_the_alarm()
    {
        await using var bench = new LaneBench(TestTester.Config(), TestContext.Current.CancellationToken);
        await bench.StartAsync();
        await bench.SendAsync(TestTester.Row(0));
        await bench.UntilAsync(() => bench.Stands(AlarmCodes.StreamStale));

        var text = bench.Lane.Overview().Alarms.Single().Text;
        await bench.SendAsync(TestTester.Row(5));

        await bench.MeanwhileAsync(() => !bench.Stands(AlarmCodes.StreamStale));
        Assert.Contains("look at the tester", text, StringComparison.Ordinal);
    }

    [Fact(Timeout = 30000)]
    public async Task A_connection_that_is_lost_in_a_run_is_told_without_a_time_that_has_not_passed()
    {
        await using var bench = new LaneBench(TestTester.Config(), TestContext.Current.CancellationToken);
        await bench.StartAsync();
        await bench.SendAsync(TestTester.Row(0));
        bench.Lane.Inbox.SetConnection(ConnectionState.Down, "not plugged in");

        await bench.UntilAsync(() => bench.Stands(AlarmCodes.StreamStale));

        var text = bench.Lane.Overview().Alarms.Single(alarm => alarm.Code == AlarmCodes.StreamStale).Text;
        Assert.StartsWith("No readings can come while a run is open: the connection to the tester is lost.", text, StringComparison.Ordinal);
    }

    [Fact(Timeout = 30000)]
    public async Task A_source_that_is_down_is_alarmed_with_its_reason_until_it_is_up_again()
    {
        await using var bench = new LaneBench(TestTester.Config(), TestContext.Current.CancellationToken);
        bench.Lane.Inbox.SetConnection(ConnectionState.Down, "not plugged in");
        await bench.UntilAsync(() => bench.Stands(AlarmCodes.SourceDown));
        Assert.Contains("not plugged in", bench.Lane.Overview().Alarms.Single().Text, StringComparison.Ordinal);

        bench.Lane.Inbox.SetConnection(ConnectionState.Up, null);

        await bench.UntilAsync(() => !bench.Stands(AlarmCodes.SourceDown));
    }

    [Fact(Timeout = 30000)]
    public async Task Refused_lines_are_alarmed_until_ten_seconds_went_by_without_another()
    {
        await using var bench = new LaneBench(TestTester.Config(), TestContext.Current.CancellationToken);
        bench.Lane.Inbox.Refuse(new("line 3", "holds 'abc' where a number is expected"));
        await bench.UntilAsync(() => bench.Stands(AlarmCodes.InputMalformed));
        var raised = bench.Time.GetUtcNow();

        await bench.UntilAsync(() => !bench.Stands(AlarmCodes.InputMalformed));

        Assert.True(bench.Time.GetUtcNow() - raised >= LaneWatch.QuietTime - TimeSpan.FromSeconds(0.25));
    }

    [Fact(Timeout = 30000)]
    public async Task Silence_between_runs_is_no_alarm()
    {
        await using var bench = new LaneBench(TestTester.Config(), TestContext.Current.CancellationToken);
        await bench.SendAsync(TestTester.Row(0));
        var since = bench.Time.GetUtcNow();

        await bench.UntilAsync(() => bench.Time.GetUtcNow() - since > TimeSpan.FromSeconds(10));

        Assert.Empty(bench.Lane.Overview().Alarms);
    }

    private static ReadingRow NotFinite(RowChannels channel) => TestTester.Row(1) with { Present = channel, Signal = double.NaN, JunctionCelsius = double.NegativeInfinity, HeaterFraction = double.NaN, StirrerRevolutionsPerMinute = double.NaN, AirMetresPerSecond = double.PositiveInfinity, AmbientCelsius = double.NaN, SecondDetector = double.NaN };
}
