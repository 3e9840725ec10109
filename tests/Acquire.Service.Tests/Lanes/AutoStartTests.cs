using Acquire.Core.Readings;
using Acquire.Service.Lanes.Starting;
using Xunit;

namespace Acquire.Service.Tests.Lanes;

public sealed class AutoStartTests
{
    // Expected flash 220 °C, start at least 56 °C below (ISO 2592, as ASTM D92, 11.1.1), 5 °C allowance of our own.
    private const double LimitCelsius = 220 - 56 + 5;

    [Theory]
    [InlineData(LimitCelsius - 0.1, true)]
    [InlineData(LimitCelsius, false)]
    public void A_new_time_axis_starts_a_run_only_with_a_cold_cup(double celsius, bool starts)
    {
        var auto = new AutoStart(TestTester.Order);

        Assert.Equal(starts, auto.Starts(TestTester.Row(0, celsius), axisBegins: true));
    }

    [Fact]
    public void A_hot_cup_that_cools_on_the_same_axis_starts_nothing()
    {
        var auto = new AutoStart(TestTester.Order);

        Assert.False(auto.Starts(TestTester.Row(0, 200), axisBegins: true));
        Assert.False(auto.Starts(TestTester.Row(1, 60), axisBegins: false));
    }

    [Fact]
    public void The_first_thermometer_reading_of_an_axis_decides()
    {
        var auto = new AutoStart(TestTester.Order);

        Assert.False(auto.Starts(new ReadingRow(0, RowChannels.Detector, 0, 0.1, false), axisBegins: true));
        Assert.True(auto.Starts(TestTester.Row(0.1), axisBegins: false));
    }

    [Fact(Timeout = 30000)]
    public async Task Each_record_of_a_tester_becomes_a_run_of_its_own()
    {
        await using var bench = new LaneBench(TestTester.Config(autoStart: TestTester.Request), TestContext.Current.CancellationToken);

        await bench.SendAsync([.. TestTester.Heating(0, 50), .. TestTester.Heating(0, 30)]);
        await bench.UntilAsync(() => bench.Archive.ListRuns("bench-1", 10) is { Count: 2 } runs && runs[0].ArchivedRows == 30);

        var runs = bench.Archive.ListRuns("bench-1", 10);
        Assert.Equal(TestTester.Heating(0, 50), bench.Archive.ReadRows(runs[1].Id));
        Assert.Equal(TestTester.Heating(0, 30), bench.Archive.ReadRows(runs[0].Id));
        Assert.NotNull(runs[1].ClosedAt);
        Assert.Null(runs[0].ClosedAt);
        Assert.Equal(TestTester.Request.Specimen, runs[0].Specimen);
    }

    [Fact(Timeout = 30000)]
    public async Task A_run_that_a_person_stopped_is_not_started_again_on_the_same_axis()
    {
        await using var bench = new LaneBench(TestTester.Config(autoStart: TestTester.Request), TestContext.Current.CancellationToken);
        await bench.SendAsync(TestTester.Heating(0, 10));
        await bench.MeanwhileAsync(() => bench.Run is not null);
        await bench.StopAsync(bench.Run!.Id);

        await bench.SendAsync(TestTester.Heating(1, 10));
        await bench.MeanwhileAsync(() => bench.Status is { AtSeconds: 1.9 });

        Assert.Single(bench.Archive.ListRuns(null, 10));
    }

    [Fact]
    public void An_automatic_start_that_no_run_may_have_is_refused_when_the_lane_is_made()
    {
        var config = TestTester.Config(autoStart: TestTester.Request with { ExpectedFlashCelsius = 20 });

        var refusal = Assert.Throws<ArgumentException>(() => new LaneBench(config, TestContext.Current.CancellationToken));

        Assert.Contains("expectedFlashCelsius", refusal.Message, StringComparison.Ordinal);
    }
}
