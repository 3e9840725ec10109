using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Bundles;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Service.Tests.Archive;
using Xunit;

namespace Acquire.Service.Tests.Lanes.Resuming;

/// <summary>A run that was open when the service ended goes on with the next start.</summary>
public sealed class ResumedRunTests : IAsyncLifetime
{
    private const double TesterStartSeconds = 700.3;
    private readonly ResumeBench _bench = new();

    public ValueTask InitializeAsync() => ValueTask.CompletedTask;

    public ValueTask DisposeAsync() => _bench.DisposeAsync();

    private static IEnumerable<ReadingRow> Heating(double from, int rows) => TestTester.Heating(TesterStartSeconds + from, rows);

    private async Task<string> BrokenOffAsync(CancellationToken cancelled, int rows = 300, TesterConfig? config = null)
    {
        await _bench.StartAsync(cancelled, config);
        var run = await _bench.BeginAsync();
        await _bench.SendAsync(Heating(0, rows));
        await _bench.ArchivedAsync(run, rows);
        return run;
    }

    [Fact(Timeout = 60000)]
    public async Task It_goes_on_along_the_testers_own_time_and_ends_as_its_record_judged_anew()
    {
        var run = await BrokenOffAsync(TestContext.Current.CancellationToken);
        var before = _bench.Facts(run);

        await _bench.AgainAsync(secondsAway: 30);
        Assert.Equal((run, 1, false), (_bench.Run!.Id, _bench.Run.Resumed, _bench.Run.Interrupted));
        await _bench.SendAsync(Heating(60, 200).Select(row => row with { TemperatureCelsius = row.TemperatureCelsius + 3 }));
        await _bench.ArchivedAsync(run, 500);
        await _bench.StopAsync(run);

        var (detail, rows) = (_bench.Archive.FindRun(run)!, _bench.Archive.ReadRows(run).ToArray());
        Assert.Equal(before, detail.Events.Take(before.Count));
        Assert.Equal([29.9, 60], rows[299..301].Select(row => row.AtSeconds));
        Assert.Equal((1, false), (detail.Summary.Resumed, detail.Summary.Interrupted));
        var resumed = Assert.Single(detail.Events.OfType<RunResumed>());
        Assert.Equal((29.9, 29.9, "1.0.0", "1.0.1"), (resumed.AtSeconds, resumed.ReadingSeconds, resumed.SoftwareBefore, resumed.SoftwareAfter));
        Assert.InRange(resumed.SecondsAway!.Value, 30, 31);
        var gap = Assert.Single(detail.Summary.Result!.Findings, finding => finding.Code == FindingCodes.DataGap);
        Assert.Equal(30.1, gap.Value!.Value, 0.05);
        var again = new List<RunOutput>();
        RunReplay.RunWhole(detail.Plan, rows, detail.Events, again);
        Assert.Equal(detail.Events.Select(ArchiveJson.Write), again.Select(ArchiveJson.Write));
        Travels(run);
        await _bench.AssertSoundAsync();
    }

    // Another installation comes to the same result.
    private void Travels(string run)
    {
        var export = _bench.Archive.Export();
        var file = export.Bundle(export.Find(run)!, new(), ArchiveBench.Start, "0.1.0", out var fault);
        Assert.Null(fault);
        var trial = BundleTrial.Play(RunBundle.TryRead(file!, out fault)!, ArchiveBench.Start, out fault);
        Assert.Null(fault);
        Assert.True(trial!.Repeats);
        Assert.Equal(1, trial.Run.Summary.Resumed);
    }

    [Fact(Timeout = 60000)]
    public async Task It_goes_on_as_often_as_the_service_ends_and_counts_it()
    {
        var run = await BrokenOffAsync(TestContext.Current.CancellationToken);
        for (var times = 1; times <= 3; times++)
        {
            await _bench.AgainAsync(5, version: $"1.0.{times}");
            await _bench.SendAsync(Heating(30 + (10 * times), 20));
            await _bench.ArchivedAsync(run, 300 + (20 * times));
            Assert.Equal(times, _bench.Run!.Resumed);
        }

        await _bench.StopAsync(run);
        Assert.Equal(["1.0.0", "1.0.1", "1.0.2"], _bench.Facts(run).OfType<RunResumed>().Select(fact => fact.SoftwareBefore));
        await _bench.AssertSoundAsync();
    }

    [Fact(Timeout = 60000)]
    public async Task Pages_see_one_run_without_hole_or_duplicate()
    {
        var run = await BrokenOffAsync(TestContext.Current.CancellationToken);

        await _bench.AgainAsync();
        var shown = _bench.Timelines.Find(run)!;
        Assert.False(shown.Ended);
        await _bench.SendAsync(Heating(60, 100));
        await _bench.ArchivedAsync(run, 400);
        await _bench.StopAsync(run);

        Assert.Same(shown, _bench.Timelines.Find(run));
        _bench.Timelines.Forget(run);
        var rebuilt = _bench.Timelines.Find(run)!;
        Assert.Equal(rebuilt.Points(0, 10_000).Time, shown.Points(0, 10_000).Time);
        Assert.Equal(rebuilt.Points(0, 10_000).Temperature, shown.Points(0, 10_000).Temperature);
        Assert.Equal(rebuilt.Events(0, 10_000).Select(ArchiveJson.Write), shown.Events(0, 10_000).Select(ArchiveJson.Write));
    }

    [Fact(Timeout = 60000)]
    public async Task Rows_that_are_stamped_as_they_arrive_are_put_by_the_clock_of_the_computer()
    {
        var stamped = Stamped();
        await _bench.StartAsync(TestContext.Current.CancellationToken, stamped);
        var run = await _bench.BeginAsync();
        _bench.Time.Advance(TimeSpan.FromSeconds(2));
        await ArrivingAsync(run, 10);

        await _bench.AgainAsync(40, stamped);
        _bench.Time.Advance(TimeSpan.FromSeconds(3));
        await ArrivingAsync(run, 20);

        // 0.1 s had gone by since the newest row, 40 s until the next start, 3 s until the first row behind it.
        Assert.Equal([0.9, 44], _bench.Archive.ReadRows(run).ToArray()[9..11].Select(row => Math.Round(row.AtSeconds, 6)));
        var resumed = Assert.Single(_bench.Facts(run).OfType<RunResumed>());
        Assert.Equal((40.1, 0.1), (resumed.SecondsAway, resumed.UncertaintySeconds));
    }

    [Fact(Timeout = 60000)]
    public async Task Facts_that_were_not_archived_though_their_rows_were_are_archived_once()
    {
        var run = await BrokenOffAsync(TestContext.Current.CancellationToken);
        var all = _bench.Facts(run);
        await _bench.EndAsync();
        var (header, rows) = await RecordAsync(run);
        Assert.True(all.Count > 2);
        await WriteAsync(header with { Id = "20261125T210000Z-bench-1-cut0" }, rows, all.Take(1));

        await _bench.AgainAsync(5);
        await _bench.SendAsync(Heating(40, 5));
        await _bench.ArchivedAsync("20261125T210000Z-bench-1-cut0", 305);

        var facts = _bench.Facts("20261125T210000Z-bench-1-cut0");
        Assert.Equal(all, facts.Take(all.Count));
        Assert.IsType<RunResumed>(facts[all.Count]);
    }

    [Fact(Timeout = 60000)]
    public async Task A_run_that_had_been_stopped_and_whose_end_alone_was_not_archived_is_closed_at_once()
    {
        const string Stopped = "20261125T210000Z-bench-1-done";
        var run = await BrokenOffAsync(TestContext.Current.CancellationToken);
        var begun = _bench.Facts(run).OfType<AxisBegun>().Single();
        await _bench.EndAsync();
        var (header, rows) = await RecordAsync(run);
        var stated = new List<RunOutput> { begun };
        var result = RunReplay.Run(header.Plan, rows, stated);
        await WriteAsync(header with { Id = Stopped }, rows, stated);

        await _bench.AgainAsync(5);
        await _bench.UntilAsync(() => _bench.Run is { ClosedAt: not null });

        Assert.Equal(stated.Select(ArchiveJson.Write), _bench.Facts(Stopped).Select(ArchiveJson.Write));
        Assert.Equal(ArchiveJson.Write(result), ArchiveJson.Write(_bench.Archive.FindRun(Stopped)!.Summary.Result));
    }

    [Fact(Timeout = 60000)]
    public async Task Alarms_that_stood_are_raised_again_and_a_person_may_stop_it_before_a_row_has_come()
    {
        await _bench.StartAsync(TestContext.Current.CancellationToken);
        var run = await _bench.BeginAsync();
        await _bench.SendAsync(Enumerable.Range(0, 1200).Select(i => TestTester.Row(TesterStartSeconds + (i / 10.0), 60 + (i * 0.08))));
        await _bench.ArchivedAsync(run, 1200);
        await _bench.UntilAsync(() => _bench.Stands("heating-too-fast"));

        await _bench.AgainAsync();
        await _bench.UntilAsync(() => _bench.Stands("heating-too-fast"));
        await _bench.StopAsync(run);

        Assert.NotNull(_bench.Archive.FindRun(run)!.Summary.Result);
        Assert.Empty(_bench.Lane.Overview().Alarms);
        await _bench.AssertSoundAsync();
    }

    [Fact(Timeout = 60000)]
    public async Task A_run_without_rows_goes_on_and_begins_with_the_first()
    {
        await _bench.StartAsync(TestContext.Current.CancellationToken);
        var run = await _bench.BeginAsync();

        await _bench.AgainAsync();
        await _bench.SendAsync(Heating(0, 20));
        await _bench.ArchivedAsync(run, 20);

        Assert.Equal(0, _bench.Archive.ReadRows(run).First().AtSeconds);
        Assert.Equal([typeof(RunResumed), typeof(AxisBegun)], _bench.Facts(run).Take(2).Select(fact => fact.GetType()));
    }

    [Fact(Timeout = 60000)]
    public async Task A_run_whose_first_row_was_lost_keeps_the_axis_that_began_with_it()
    {
        const string Cut = "20261125T210000Z-bench-1-cut1";
        var run = await BrokenOffAsync(TestContext.Current.CancellationToken, rows: 1);
        var begun = _bench.Facts(run).OfType<AxisBegun>().Single();
        await _bench.EndAsync();
        var (header, _) = await RecordAsync(run);
        await WriteAsync(header with { Id = Cut }, [], [begun]);

        await _bench.AgainAsync(5);
        await _bench.SendAsync(Heating(12, 5));
        await _bench.ArchivedAsync(Cut, 5);

        Assert.Equal(12, _bench.Archive.ReadRows(Cut).First().AtSeconds);
        Assert.Single(_bench.Facts(Cut).OfType<AxisBegun>());
    }

    [Fact(Timeout = 60000)]
    public async Task In_a_guided_run_nothing_is_entered_before_a_row_has_come_and_then_it_goes_on()
    {
        var guided = TestTester.Config() with { Mode = RunMode.Guided };
        var run = await BrokenOffAsync(TestContext.Current.CancellationToken, config: guided);
        Assert.Equal(CommandOutcome.Done, (await _bench.Lane.ObserveAsync(run, Sighting.Nothing, "R. Halden", TestContext.Current.CancellationToken)).Outcome);

        await _bench.AgainAsync(config: guided);
        var early = await _bench.Lane.ObserveAsync(run, Sighting.Nothing, "R. Halden", TestContext.Current.CancellationToken);
        await _bench.SendAsync(Heating(60, 20));
        await _bench.ArchivedAsync(run, 320);
        var later = await _bench.Lane.ObserveAsync(run, Sighting.Nothing, "R. Halden", TestContext.Current.CancellationToken);

        Assert.Equal((CommandOutcome.NotTaken, CommandOutcome.Done), (early.Outcome, later.Outcome));
        Assert.Contains("since the service was started again", early.Text, StringComparison.Ordinal);
        Assert.Equal([29.9, 61.9], _bench.Facts(run).OfType<ObservationMade>().Select(made => made.ReadingSeconds!.Value));
    }

    internal static TesterConfig Stamped()
    {
        var config = TestTester.Config();
        var serial = (SourceConfig.Serial)config.Source;
        return config with { Source = serial with { Layout = new LineLayout.Columns([.. ((LineLayout.Columns)serial.Layout!).List.Where(column => column.Channel != ReadingChannel.Time)]) } };
    }

    // Ten a second, up to so many in the record.
    private async Task ArrivingAsync(string run, int upTo)
    {
        for (var count = _bench.Archive.ArchivedRows(run); count < upTo; count++)
        {
            await _bench.SendAsync(TestTester.Row(_bench.Lane.Inbox.ArrivalSeconds));
            await _bench.UntilAsync(() => _bench.Lane.Inbox.Counters.QueueDepth == 0);
            await _bench.ArchivedAsync(run, count + 1);
            _bench.Time.Advance(TimeSpan.FromSeconds(0.1));
        }
    }

    private async Task<(RunHeader Header, ReadingRow[] Rows)> RecordAsync(string run)
    {
        await using var archive = _bench.Open();
        var record = (archive.ReadHeader(run), archive.ReadRows(run).ToArray());
        await archive.InterruptAsync(run, _bench.Time.GetUtcNow(), new(0, "Set aside."), TestContext.Current.CancellationToken);
        return record;
    }

    private async Task WriteAsync(RunHeader header, ReadingRow[] rows, IEnumerable<RunOutput> facts)
    {
        await using var archive = _bench.Open();
        await archive.BeginRunAsync(header, TestContext.Current.CancellationToken);
        await archive.AppendRowsAsync(header.Id, rows, TestContext.Current.CancellationToken);
        await archive.AppendEventsAsync(header.Id, [.. facts], TestContext.Current.CancellationToken);
    }
}
