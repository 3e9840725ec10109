using Acquire.Core.Alarms;
using Acquire.EndToEnd.Tests.Rig;
using Acquire.Simulator;
using Xunit;

namespace Acquire.EndToEnd.Tests;

/// <summary>A tester that says more than the service takes at once.</summary>
public sealed class FullQueueTests
{
    [Fact(Timeout = 600_000)]
    public async Task A_flooded_queue_makes_the_source_wait_and_is_counted_and_alarmed_and_loses_nothing()
    {
        const string Bench = "bench-1";
        const int RowsPerMessage = 500;
        using var folder = new TestFolder();
        var port = Installed.FreePort();
        await using var service = await RunningService.ServeAsync(folder, ConfigText.Embedded(port, ConfigText.Mqtt(Bench, "\"queueCapacity\": 16,")));
        await service.Api.ConnectedAsync(Bench);
        var said = new SimulatedRun(Specimens.Of(172, 41));
        var run = await service.Api.StartAsync(Bench, said.Options);
        using var publisher = await Publisher.ConnectAsync(port);

        var alarmed = Waiting.ForAsync(() => service.Api.TesterAsync(Bench), seen => seen.Alarms.Any(alarm => alarm.Code == AlarmCodes.QueueFull), "the full queue is alarmed");
        foreach (var rows in said.Chunk(RowsPerMessage))
        {
            await publisher.SendAsync($"acquire/{Bench}/readings", rows);
        }

        var seen = await alarmed;
        Assert.Contains("Nothing is lost", seen.Alarms.Single(alarm => alarm.Code == AlarmCodes.QueueFull).Text, StringComparison.Ordinal);
        var closed = await service.Api.FinishedAsync(run.Id, said.LongCount());
        Truth.AssertSame(said, await service.Api.RowsAsync(run.Id));
        Truth.AssertMet(said.Truth, closed.Result);
        var counters = (await service.Api.TesterAsync(Bench)).Counters;
        Assert.Equal(said.LongCount(), counters.Rows);
        Assert.Equal((16, 0), (counters.QueueCapacity, counters.QueueDepth));
        Assert.True(counters.QueueFull > 0, "no full queue was counted");
        TestContext.Current.TestOutputHelper?.WriteLine($"the source waited {counters.QueueFull} times for {counters.Rows} rows");
    }
}
