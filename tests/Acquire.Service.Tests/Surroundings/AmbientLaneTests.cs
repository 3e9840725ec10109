using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Service.Lanes.Watching;
using Acquire.Service.Live;
using Acquire.Service.Surroundings;
using Acquire.Service.Tests.Lanes;
using Acquire.Service.Tests.Sources;
using Xunit;

namespace Acquire.Service.Tests.Surroundings;

/// <summary>A tester on virtual time that is given the readings of a shared source.</summary>
public sealed class AmbientLaneTests
{
    private static readonly RunOrder WithoutPressure = TestTester.Order with { Plan = TestTester.Order.Plan with { StationPressureKilopascals = null } };

    [Fact(Timeout = 30000)]
    public async Task Rows_carry_the_rooms_newest_values_while_they_are_fresh_and_nothing_once_they_are_stale()
    {
        await using var bench = Bench(TestContext.Current.CancellationToken);
        await bench.RoomAsync(new(0, RowChannels.Ambient | RowChannels.Air, 0, 0, false) { AmbientCelsius = 23.5, AirMetresPerSecond = 0.12 });
        var run = await bench.Lane.StartAsync();
        await bench.Lane.SendAsync(TestTester.Row(1), TestTester.Row(1.1));
        await bench.Lane.MeanwhileAsync(() => bench.Lane.Status?.AtSeconds > 0);
        bench.Lane.Time.Advance(TimeSpan.FromSeconds(61));
        await bench.Lane.SendAsync(TestTester.Row(62));
        await bench.Lane.UntilAsync(() => bench.Lane.Archive.ArchivedRows(run.Id) == 3);

        var rows = bench.Lane.Archive.ReadRows(run.Id).ToArray();
        Assert.All(rows[..2], row => Assert.Equal((true, true, 23.5, 0.12), (row.Has(RowChannels.Ambient), row.Has(RowChannels.Air), row.AmbientCelsius, row.AirMetresPerSecond)));
        Assert.False(rows[2].HasBench);
        Assert.DoesNotContain(rows, row => row.Has(RowChannels.Pressure));
    }

    [Fact(Timeout = 30000)]
    public async Task What_the_tester_measures_itself_is_never_replaced()
    {
        await using var bench = Bench(TestContext.Current.CancellationToken);
        await bench.RoomAsync(new(0, RowChannels.Ambient, 0, 0, false) { AmbientCelsius = 23.5 });
        var run = await bench.Lane.StartAsync();
        await bench.Lane.SendAsync(TestTester.Row(1) with { Present = TestTester.Row(1).Present | RowChannels.Ambient, AmbientCelsius = 19 });
        await bench.Lane.UntilAsync(() => bench.Lane.Archive.ArchivedRows(run.Id) == 1);

        Assert.Equal(19, bench.Lane.Archive.ReadRows(run.Id).Single().AmbientCelsius);
    }

    [Fact(Timeout = 30000)]
    public async Task Station_pressure_that_nobody_gave_is_the_barometers_with_its_origin_and_age()
    {
        await using var bench = Bench(TestContext.Current.CancellationToken);
        await bench.RoomAsync(new(0, RowChannels.Pressure, 0, 0, false) { PressureKilopascals = 99.617 });
        bench.Lane.Time.Advance(TimeSpan.FromSeconds(12));
        var plan = await bench.PlanOfAsync(WithoutPressure);

        Assert.Equal(99.617, plan.StationPressureKilopascals);
        Assert.Equal(("Room 1", 99.617, null), (plan.Barometer!.Source, plan.Barometer.Kilopascals, plan.Barometer.NotUsed));
        Assert.InRange(plan.Barometer.AgeSeconds!.Value, 12, 13);
    }

    [Fact(Timeout = 30000)]
    public async Task Pressure_that_a_person_gave_stands_and_the_barometer_is_not_asked()
    {
        await using var bench = Bench(TestContext.Current.CancellationToken);
        await bench.RoomAsync(new(0, RowChannels.Pressure, 0, 0, false) { PressureKilopascals = 99.617 });
        var plan = await bench.PlanOfAsync(TestTester.Order);

        Assert.Equal((101.3, null), (plan.StationPressureKilopascals, plan.Barometer));
    }

    [Fact(Timeout = 30000)]
    public async Task Stale_barometer_is_not_used_and_the_finding_says_why()
    {
        await using var bench = Bench(TestContext.Current.CancellationToken);
        await bench.RoomAsync(new(0, RowChannels.Pressure, 0, 0, false) { PressureKilopascals = 99.617 });
        bench.Lane.Time.Advance(TimeSpan.FromSeconds(312));
        var answer = await bench.Lane.Lane.StartAsync(WithoutPressure, TestContext.Current.CancellationToken);
        await bench.Lane.SendAsync(TestTester.Row(1));
        await bench.Lane.StopAsync(answer.Run!.Id);

        Assert.Null(bench.Lane.Archive.FindRun(answer.Run.Id)!.Plan.StationPressureKilopascals);
        var finding = bench.Lane.Timelines.Find(answer.Run.Id)!.Events(0, 1000).OfType<RunClosed>().Single().Result.Findings.Single(finding => finding.Code == FindingCodes.PressureAssumed);
        Assert.Contains("that of \"Room 1\" was not used because its newest reading was 312 s old (allowed: 60 s)", finding.Text, StringComparison.Ordinal);
    }

    [Theory(Timeout = 30000)]
    [InlineData(101.2, "cannot be the pressure at 1000 m")]
    [InlineData(89.8, null)]
    public async Task Barometer_that_cannot_be_right_at_the_altitude_is_not_used(double kilopascals, string? why)
    {
        await using var bench = Bench(TestContext.Current.CancellationToken, TestTester.Config() with { AltitudeMetres = 1000 });
        await bench.RoomAsync(new(0, RowChannels.Pressure, 0, 0, false) { PressureKilopascals = kilopascals });
        var plan = await bench.PlanOfAsync(WithoutPressure);

        Assert.Equal(why is null ? kilopascals : null, plan.StationPressureKilopascals);
        Assert.Contains(why ?? "", plan.Barometer!.NotUsed ?? "", StringComparison.Ordinal);
    }

    [Fact(Timeout = 30000)]
    public async Task Source_that_falls_silent_is_alarmed_and_shown_as_stale_until_it_speaks_again()
    {
        await using var bench = Bench(TestContext.Current.CancellationToken);
        await bench.RoomAsync(new(0, RowChannels.Pressure | RowChannels.Ambient | RowChannels.Air, 0, 0, false) { PressureKilopascals = 99.6, AmbientCelsius = 23.5, AirMetresPerSecond = 0.1 });
        await bench.Lane.UntilAsync(() => bench.Lane.Stands(ServiceAlarmCodes.AmbientStale));
        var alarm = bench.Lane.Lane.Overview().Alarms.Single(alarm => alarm.Code == ServiceAlarmCodes.AmbientStale);
        var shown = Assert.Single(bench.Lane.Lane.Overview().Ambient!);

        Assert.StartsWith("\"Room 1\" has said nothing about the air pressure for more than 60 s", alarm.Text, StringComparison.Ordinal);
        Assert.Equal((99.6, true), (shown.PressureKilopascals!.Value, shown.PressureKilopascals.Stale));
        await bench.RoomAsync(new(0, RowChannels.Pressure | RowChannels.Ambient | RowChannels.Air, 0, 0, false) { PressureKilopascals = 99.7, AmbientCelsius = 23.5, AirMetresPerSecond = 0.1 });
        await bench.Lane.UntilAsync(() => !bench.Lane.Stands(ServiceAlarmCodes.AmbientStale));
    }

    private static RoomBench Bench(CancellationToken cancelled, TesterConfig? config = null) => new((config ?? TestTester.Config()) with { Ambient = ["room"] }, cancelled);

    private sealed class RoomBench : IAsyncDisposable
    {
        private readonly CancellationTokenSource _stopping = new();
        private readonly Task _taking;
        private readonly AmbientStation _station;

        public RoomBench(TesterConfig config, CancellationToken cancelled)
        {
            var room = SourceSamples.Config("""
                { "ambient": [ { "id": "room", "name": "Room 1", "source": { "kind": "serial", "port": "/dev/room", "columns": [
                  { "channel": "pressure", "unit": "hPa" }, { "channel": "ambient", "unit": "degC" }, { "channel": "air", "unit": "m/s" } ] } } ] }
                """).Ambient[0];
            AmbientStation? station = null;
            Lane = new(config, cancelled, time => new([station = new(room, time)]));
            _station = station!;
            _station.Inbox.SetConnection(ConnectionState.Up, null);
            _taking = _station.RunAsync(_stopping.Token);
        }

        public LaneBench Lane { get; }

        public async Task RoomAsync(ReadingRow row)
        {
            await _station.Inbox.WriteAsync(row, TestContext.Current.CancellationToken);
            var channel = row.Has(RowChannels.Pressure) ? RowChannels.Pressure : RowChannels.Ambient;
            await Lane.MeanwhileAsync(() => _station.Find(channel) is { Stale: false });
        }

        public async Task<RunPlan> PlanOfAsync(RunOrder order)
        {
            var answer = await Lane.Lane.StartAsync(order, TestContext.Current.CancellationToken);
            Assert.Equal(CommandOutcome.Done, answer.Outcome);
            return Lane.Archive.FindRun(answer.Run!.Id)!.Plan;
        }

        public async ValueTask DisposeAsync()
        {
            await _stopping.CancelAsync();
            await _taking;
            _stopping.Dispose();
            await Lane.DisposeAsync();
        }
    }
}
