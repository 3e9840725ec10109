using System.Text.Json;
using Acquire.Core.Alarms;
using Acquire.Core.Runs;
using Acquire.Service.Lanes.Watching;
using Acquire.Service.Live;
using Xunit;

namespace Acquire.Service.Tests.Lanes;

/// <summary>The time of day jumps while a cup is heated.</summary>
public sealed class ClockTests
{
    private const double CelsiusPerMinute = 5.5;

    [Fact(Timeout = 60000)]
    public async Task Clock_that_is_set_forward_and_back_changes_no_interval_and_no_rate_and_both_are_in_the_record()
    {
        var (still, jumped) = (await HeatAsync(TestContext.Current.CancellationToken), await HeatAsync(TestContext.Current.CancellationToken, TimeSpan.FromHours(1), TimeSpan.FromHours(-3)));

        Assert.Equal(still.Rows, jumped.Rows);
        Assert.Equal(still.Rate, jumped.Rate, 9);
        Assert.InRange(jumped.Rate, CelsiusPerMinute - 0.1, CelsiusPerMinute + 0.1);
        var told = jumped.Facts.OfType<AlarmRaised>().Where(fact => fact.Code == ServiceAlarmCodes.ClockJumped).Select(fact => fact.Text).ToArray();
        Assert.Equal(2, told.Length);
        Assert.StartsWith("The clock of this computer went forward by 3600.0 s, from 2026-11-25 20:1", told[0], StringComparison.Ordinal);
        Assert.StartsWith("The clock of this computer went back by 10800.0 s, ", told[1], StringComparison.Ordinal);
        Assert.DoesNotContain(still.Facts.Concat(jumped.Facts).OfType<AlarmRaised>(), fact => fact.Code == AlarmCodes.StreamStale);
        Assert.Equal(Judged(still.Facts), Judged(jumped.Facts));
    }

    [Theory(Timeout = 60000)]
    [InlineData(0, "from UTC+01:00 to UTC+02:00")]
    [InlineData(1, "from UTC+02:00 to UTC+01:00")]
    public async Task Daylight_saving_time_changes_no_interval_and_no_rate_and_is_in_the_record(int end, string told)
    {
        // The last Sundays of March and October 2026, 01:00 UTC; the run of the test lies across them.
        var change = end == 0 ? new DateTimeOffset(2026, 3, 29, 1, 0, 0, TimeSpan.Zero) : new DateTimeOffset(2026, 10, 25, 1, 0, 0, TimeSpan.Zero);
        var (still, across) = (await HeatAsync(TestContext.Current.CancellationToken), await HeatAsync(TestContext.Current.CancellationToken, begin: change - TimeSpan.FromSeconds(20)));

        Assert.Equal(still.Rows, across.Rows);
        Assert.Equal(still.Rate, across.Rate, 9);
        Assert.Contains(told, Assert.Single(across.Facts.OfType<AlarmRaised>(), fact => fact.Code == ServiceAlarmCodes.LocalTimeChanged).Text, StringComparison.Ordinal);
        Assert.DoesNotContain(across.Facts.OfType<AlarmRaised>(), fact => fact.Code is ServiceAlarmCodes.ClockJumped or AlarmCodes.StreamStale);
    }

    [Fact(Timeout = 30000)]
    public async Task Jump_stands_as_an_alarm_for_a_minute_with_or_without_a_run()
    {
        WallClock? wall = null;
        await using var bench = new LaneBench(TestTester.Config(), TestContext.Current.CancellationToken, clock: time => wall = new(time, MiddleEurope()));
        await bench.SendAsync(TestTester.Row(1));
        await bench.UntilAsync(() => bench.Status is not null);
        wall!.Off += TimeSpan.FromMinutes(5);
        await bench.UntilAsync(() => bench.Stands(ServiceAlarmCodes.ClockJumped));
        var at = bench.Time.GetTimestamp();
        await bench.UntilAsync(() => !bench.Stands(ServiceAlarmCodes.ClockJumped));

        Assert.InRange(bench.Time.GetElapsedTime(at).TotalSeconds, 55, 65);
    }

    // When the axis began is the clock's own time, and how many steps of virtual time went before it is not asserted.
    private static IEnumerable<string> Judged(IEnumerable<RunOutput> facts) => facts.Where(fact => fact is not (AlarmRaised or AlarmCleared or AxisBegun)).Select(fact => JsonSerializer.Serialize(fact, LiveJson.Options));

    // Rows without a time of the tester's own: they are stamped by the service, ten a second.
    private static async Task<(IReadOnlyList<double> Rows, double Rate, IReadOnlyList<RunOutput> Facts)> HeatAsync(CancellationToken cancellationToken, TimeSpan first = default, TimeSpan second = default, DateTimeOffset? begin = null)
    {
        WallClock? wall = null;
        await using var bench = new LaneBench(TestTester.Config(), cancellationToken, clock: time => wall = new(time, MiddleEurope()) { Off = begin is { } moment ? moment - time.GetUtcNow() : default });
        await bench.UntilAsync(() => true);
        var run = await bench.StartAsync();
        for (var row = 0; row < 400; row++)
        {
            bench.Time.Advance(TimeSpan.FromMilliseconds(100));
            await bench.SendAsync(TestTester.Row(bench.Lane.Inbox.ArrivalSeconds, 60 + (row * CelsiusPerMinute / 600), 0.1));
            await bench.MeanwhileAsync(() => bench.Lane.Inbox.Rows.Count == 0);
            if (row is 150 or 250)
            {
                wall!.Off += row == 150 ? first : second;
            }
        }

        await bench.UntilAsync(() => bench.Archive.ArchivedRows(run.Id) == 400);
        var rate = bench.Status!.RateCelsiusPerMinute!.Value;
        await bench.StopAsync(run.Id);
        return ([.. bench.Archive.ReadRows(run.Id).Select(row => Math.Round(row.AtSeconds, 6))], rate, bench.Timelines.Find(run.Id)!.Events(0, 10_000));
    }

    private static TimeZoneInfo MiddleEurope()
    {
        var begins = TimeZoneInfo.TransitionTime.CreateFloatingDateRule(new(1, 1, 1, 2, 0, 0), 3, 5, DayOfWeek.Sunday);
        var ends = TimeZoneInfo.TransitionTime.CreateFloatingDateRule(new(1, 1, 1, 3, 0, 0), 10, 5, DayOfWeek.Sunday);
        var rule = TimeZoneInfo.AdjustmentRule.CreateAdjustmentRule(DateTime.MinValue.Date, DateTime.MaxValue.Date, TimeSpan.FromHours(1), begins, ends);
        return TimeZoneInfo.CreateCustomTimeZone("test", TimeSpan.FromHours(1), "test", "test", "test, summer", [rule]);
    }
}
