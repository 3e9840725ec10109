using Acquire.Core.Alarms;
using Acquire.Core.Runs;
using Acquire.Service.Archive;
using Acquire.Service.Lanes;
using Acquire.Service.Lanes.Archiving;
using Acquire.Service.Lanes.Watching;
using Xunit;

namespace Acquire.Service.Tests.Lanes;

public sealed class LaneArchiveTroubleTests
{
    [Fact(Timeout = 30000)]
    public async Task What_is_not_archived_is_not_announced_and_nothing_is_lost_or_doubled()
    {
        await using var bench = new LaneBench(TestTester.Config(), TestContext.Current.CancellationToken);
        var run = await bench.StartAsync();
        var timeline = bench.Timelines.Find(run.Id)!;
        bench.BreakArchive();

        await bench.SendAsync(TestTester.Heating(0, 100));
        await bench.UntilAsync(() => bench.Stands(ServiceAlarmCodes.ArchiveFailed) && bench.Status is { AtSeconds: 9.9 });
        Assert.Equal((0, 0), (timeline.PointCount, timeline.EventCount));
        Assert.Equal(RunPhase.Ready, bench.Status!.Phase);

        bench.MendArchive();
        await bench.SendAsync(TestTester.Heating(10, 100));
        await bench.UntilAsync(() => !bench.Stands(ServiceAlarmCodes.ArchiveFailed) && bench.Archive.ArchivedRows(run.Id) == 200);

        await bench.MeanwhileAsync(() => timeline.EventCount > 0 && timeline.PointCount == 99);
        Assert.Equal(TestTester.Heating(0, 100).Concat(TestTester.Heating(10, 100)), bench.Archive.ReadRows(run.Id));
        Assert.Equal(bench.Archive.ReadEvents(run.Id, 0), timeline.Events(0, 1000));
        Assert.Single(timeline.Events(0, 1000).OfType<PhaseChanged>(), phase => phase.From == RunPhase.Ready);
    }

    [Fact(Timeout = 30000)]
    public async Task A_hanging_archive_does_not_stop_the_newest_values()
    {
        await using var bench = new LaneBench(TestTester.Config(), TestContext.Current.CancellationToken);
        await bench.StartAsync();
        var hanging = bench.HangArchive();

        await bench.SendAsync(TestTester.Row(0, 60));
        await bench.SendAsync(TestTester.Row(1, 61));

        await bench.MeanwhileAsync(() => bench.Status is { TemperatureCelsius: 61 });
        bench.MendArchive();
        hanging.SetResult();
    }

    [Fact(Timeout = 30000)]
    public async Task What_the_archive_says_of_itself_is_not_said_twice()
    {
        await using var bench = new LaneBench(TestTester.Config(), TestContext.Current.CancellationToken);
        bench.BreakArchive(new ArchiveUnavailableException("The archive cannot be written: the disk is full. Nothing of this was recorded."));

        var answer = await bench.Lane.StartAsync(TestTester.Order, TestContext.Current.CancellationToken);

        Assert.StartsWith("The archive cannot be written: the disk is full.", answer.Text, StringComparison.Ordinal);
        bench.MendArchive();
    }

    [Fact(Timeout = 30000)]
    public async Task A_run_that_cannot_be_archived_does_not_start()
    {
        await using var bench = new LaneBench(TestTester.Config(), TestContext.Current.CancellationToken);
        bench.BreakArchive();

        var answer = await bench.Lane.StartAsync(TestTester.Order, TestContext.Current.CancellationToken);

        Assert.Equal(CommandOutcome.ArchiveFailed, answer.Outcome);
        Assert.Contains("disk full", answer.Text, StringComparison.Ordinal);
        Assert.Null(bench.Run);
        bench.MendArchive();
        await bench.StartAsync();
    }

    [Fact(Timeout = 30000)]
    public async Task A_stop_during_trouble_says_so_and_is_archived_later()
    {
        await using var bench = new LaneBench(TestTester.Config(), TestContext.Current.CancellationToken);
        var run = await bench.StartAsync();
        await bench.SendAsync(TestTester.Row(0));
        await bench.UntilAsync(() => bench.Archive.ArchivedRows(run.Id) == 1);
        bench.BreakArchive();

        var answer = await bench.Lane.StopAsync(run.Id, TestContext.Current.CancellationToken);
        Assert.Equal(CommandOutcome.ArchiveFailed, answer.Outcome);
        Assert.Null(bench.Run!.ClosedAt);

        bench.MendArchive();
        await bench.UntilAsync(() => bench.Run!.ClosedAt is not null);
        Assert.NotNull(bench.Archive.FindRun(run.Id)!.Summary.Result);
    }

    [Fact(Timeout = 30000)]
    public async Task A_run_that_starts_by_itself_during_trouble_is_kept_and_archived_later()
    {
        await using var bench = new LaneBench(TestTester.Config(autoStart: TestTester.Request), TestContext.Current.CancellationToken);
        bench.BreakArchive();
        await bench.SendAsync(TestTester.Heating(0, 20));
        await bench.UntilAsync(() => bench.Stands(ServiceAlarmCodes.ArchiveFailed));
        Assert.Null(bench.Run);

        bench.MendArchive();
        await bench.UntilAsync(() => bench.Run is { ArchivedRows: 20 });

        Assert.Equal(TestTester.Heating(0, 20), bench.Archive.ReadRows(bench.Run!.Id));
    }

    [Fact(Timeout = 30000)]
    public async Task A_full_queue_is_alarmed_and_no_row_is_lost()
    {
        await using var bench = new LaneBench(TestTester.Config(queueCapacity: 16), TestContext.Current.CancellationToken);
        var run = await bench.StartAsync();

        await bench.SendAsync(TestTester.Heating(0, 5000));

        // On a slow machine the alarm may be over before the last row is archived: that it stood at some time is what counts.
        var stood = false;
        await bench.UntilAsync(() =>
        {
            stood |= bench.Stands(AlarmCodes.QueueFull);
            return bench.Archive.ArchivedRows(run.Id) == 5000 && stood == bench.Lane.Overview().Counters.QueueFull > 0;
        });
    }

    [Fact(Timeout = 240000)]
    public async Task While_the_archive_is_broken_the_memory_is_bounded_and_the_source_has_to_wait()
    {
        await using var bench = new LaneBench(TestTester.Config(queueCapacity: 16), TestContext.Current.CancellationToken);
        var run = await bench.StartAsync();
        bench.BreakArchive();
        const int Rows = LaneJournal.MostWaitingRows + 20_000;

        var sending = bench.SendAsync(TestTester.Heating(0, Rows, celsiusPerRow: 0.005));
        await bench.UntilAsync(() => bench.Lane.Overview().Counters is { Rows: > LaneJournal.MostWaitingRows, QueueDepth: 16 } && bench.Stands(AlarmCodes.QueueFull));
        Assert.False(sending.IsCompleted);

        bench.MendArchive();
        await bench.UntilAsync(() => bench.Archive.ArchivedRows(run.Id) == Rows);
        await sending;
        Assert.Equal(TestTester.Heating(0, Rows, celsiusPerRow: 0.005), bench.Archive.ReadRows(run.Id));
    }
}
