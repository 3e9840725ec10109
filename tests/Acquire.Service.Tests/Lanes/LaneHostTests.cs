using Acquire.Core.Methods;
using Acquire.Service.Lanes;
using Acquire.Service.Lanes.Archiving;
using Acquire.Service.Lanes.Watching;
using Acquire.Service.Live;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using NSubstitute;
using Xunit;

namespace Acquire.Service.Tests.Lanes;

[Collection(nameof(Environment.ExitCode))]
public sealed class LaneHostTests
{
    [Fact(Timeout = 30000)]
    public async Task A_lane_that_fails_again_and_again_is_given_up_and_the_others_go_on()
    {
        await using var archive = TestTester.OpenArchive();
        var time = new FakeTimeProvider();
        var port = ArchivePort.To(archive);
        var timelines = new RunTimelines(archive);
        var broken = new Lane(TestTester.Config("broken"), port with { Trouble = () => throw new InvalidOperationException("a bug") }, timelines, time, "0", MethodSet.Embedded, NullLogger.Instance);
        var sound = new Lane(TestTester.Config("sound"), port, timelines, time, "0", MethodSet.Embedded, NullLogger.Instance);
        var lifetime = Substitute.For<IHostApplicationLifetime>();
        using var host = new LaneHost(new([broken, sound]), lifetime, time, NullLogger<LaneHost>.Instance);
        await host.StartAsync(TestContext.Current.CancellationToken);

        await AdvanceUntilAsync(time, () => broken.Overview().Alarms.Any(alarm => alarm.Code == ServiceAlarmCodes.LaneFailed && alarm.Text.Contains("gave it up", StringComparison.Ordinal)));

        var answer = await sound.StartAsync(TestTester.Order, TestContext.Current.CancellationToken);
        Assert.Equal(CommandOutcome.Done, answer.Outcome);
        Assert.Empty(sound.Overview().Alarms);
        lifetime.DidNotReceive().StopApplication();
        await host.StopAsync(TestContext.Current.CancellationToken);
    }

    [Fact(Timeout = 30000)]
    public async Task When_no_lane_is_left_the_program_ends_with_a_failure()
    {
        await using var archive = TestTester.OpenArchive();
        var time = new FakeTimeProvider();
        var port = ArchivePort.To(archive) with { Trouble = () => throw new InvalidOperationException("a bug") };
        var lane = new Lane(TestTester.Config(), port, new(archive), time, "0", MethodSet.Embedded, NullLogger.Instance);
        var ended = false;
        var lifetime = Substitute.For<IHostApplicationLifetime>();
        lifetime.When(one => one.StopApplication()).Do(_ => Volatile.Write(ref ended, true));
        using var host = new LaneHost(new([lane]), lifetime, time, NullLogger<LaneHost>.Instance);
        var before = Environment.ExitCode;
        try
        {
            await host.StartAsync(TestContext.Current.CancellationToken);

            await AdvanceUntilAsync(time, () => Volatile.Read(ref ended));

            Assert.Equal(1, Environment.ExitCode);
        }
        finally
        {
            Environment.ExitCode = before;
        }
    }

    [Fact(Timeout = 30000)]
    public async Task A_lane_that_is_started_again_gives_its_run_up_and_takes_the_next()
    {
        await using var archive = TestTester.OpenArchive();
        var time = new FakeTimeProvider();
        var timelines = new RunTimelines(archive);
        var failing = 0;
        var port = ArchivePort.To(archive) with { Trouble = () => Interlocked.Exchange(ref failing, 0) == 1 ? throw new InvalidOperationException("a bug") : null };
        var lane = new Lane(TestTester.Config(), port, timelines, time, "0", MethodSet.Embedded, NullLogger.Instance);
        using var host = new LaneHost(new([lane]), Substitute.For<IHostApplicationLifetime>(), time, NullLogger<LaneHost>.Instance);
        await host.StartAsync(TestContext.Current.CancellationToken);
        var run = (await lane.StartAsync(TestTester.Order, TestContext.Current.CancellationToken)).Run!;
        var timeline = timelines.Find(run.Id)!;
        await lane.Inbox.WriteAsync(TestTester.Row(0), TestContext.Current.CancellationToken);
        await AdvanceUntilAsync(time, () => archive.ArchivedRows(run.Id) == 1);

        Interlocked.Exchange(ref failing, 1);
        await AdvanceUntilAsync(time, () => timeline.Ended);

        Assert.True(lane.Overview().Run!.Interrupted);
        Assert.Contains(lane.Overview().Alarms, alarm => alarm.Code == ServiceAlarmCodes.LaneFailed);
        var next = await lane.StartAsync(TestTester.Order, TestContext.Current.CancellationToken);
        Assert.Equal(CommandOutcome.Done, next.Outcome);
        Assert.Empty(lane.Overview().Alarms);
        await host.StopAsync(TestContext.Current.CancellationToken);
    }

    private static async Task AdvanceUntilAsync(FakeTimeProvider time, Func<bool> holds)
    {
        while (!holds())
        {
            time.Advance(TimeSpan.FromMilliseconds(100));
            await Task.Delay(TimeSpan.FromMilliseconds(2), TimeProvider.System, TestContext.Current.CancellationToken);
        }
    }
}
