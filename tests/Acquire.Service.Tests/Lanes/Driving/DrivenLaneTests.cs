using System.Text.Json;
using Acquire.Core.Control;
using Acquire.Core.Methods;
using Acquire.Core.Runs;
using Acquire.Service.Lanes;
using Acquire.Service.Lanes.Archiving;
using Acquire.Service.Live;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using Xunit;

namespace Acquire.Service.Tests.Lanes.Driving;

public sealed class DrivenLaneTests : IAsyncLifetime
{
    private LaneBench _bench = null!;
    private WireTester _tester = null!;
    private double _at = 500;

    private static CancellationToken Cancelled => TestContext.Current.CancellationToken;

    private DriveOverview Drive => _bench.Lane.Overview().Drive!;

    public ValueTask InitializeAsync()
    {
        _bench = new(TestTester.Driven(), TestContext.Current.CancellationToken);
        _tester = new(_bench.Lane.Outlet!, TestContext.Current.CancellationToken);
        return ValueTask.CompletedTask;
    }

    public ValueTask DisposeAsync() => _bench.DisposeAsync();

    // Ten rows and ten ticks in a second of virtual time; the lane has taken each before time goes on.
    private async Task HeatAsync(double seconds, bool silent = false)
    {
        for (var steps = (int)(seconds * 10); steps > 0; steps--)
        {
            _at = Math.Round(_at + 0.1, 6);
            if (!silent)
            {
                await _bench.SendAsync(_tester.Row(_at));
            }

            _bench.Time.Advance(TimeSpan.FromMilliseconds(100));
            await _bench.MeanwhileAsync(() => _bench.Lane.Inbox.Counters.QueueDepth == 0);
            await Task.Delay(TimeSpan.FromMilliseconds(4), TimeProvider.System, Cancelled);
        }
    }

    private async Task<RunSummary> HeatedAsync(CancellationToken cancelled)
    {
        var run = await _bench.StartAsync();
        await HeatAsync(2);
        var answer = await _bench.Lane.TurnHeaterOnAsync(run.Id, "R. Halden", cancelled);
        Assert.True(answer.Outcome == CommandOutcome.Done, answer.Text);
        await HeatAsync(12);
        return run;
    }

    private IEnumerable<HeaterFact> Facts(string id) => _bench.Archive.ReadEvents(id, 0).OfType<HeaterFact>();

    [Fact(Timeout = 60000)]
    public async Task A_run_is_commanded_off_until_a_person_turns_the_heater_on_and_the_record_says_who()
    {
        Assert.Equal((false, 320.0, 0), (Drive.On, Drive.HighestCelsius, Drive.Trips.Count));
        var run = await _bench.StartAsync();
        await HeatAsync(3);
        Assert.All(_tester.Taken, command => Assert.True(command.IsSafe));
        Assert.True(_tester.Taken[0].Sequence >= new DateTimeOffset(2026, 11, 25, 20, 15, 3, TimeSpan.Zero).ToUnixTimeMilliseconds());

        Assert.Equal(CommandOutcome.Done, (await _bench.Lane.TurnHeaterOnAsync(run.Id, "R. Halden", TestContext.Current.CancellationToken)).Outcome);
        await HeatAsync(12);

        Assert.True(_tester.Newest!.HeaterFraction > 0);
        Assert.Equal((true, "R. Halden", 280.0), (Drive.On, Drive.OnBy, Drive.HighestCelsius));
        Assert.InRange(Drive.SecondsSinceAcknowledged!.Value, 0, 1);
        Assert.Equal(_tester.Newest.HeaterFraction, Drive.AskedFraction);
        var on = Assert.IsType<HeaterTurnedOn>(Assert.Single(Facts(run.Id)));
        Assert.Equal("R. Halden", on.Person);
        Assert.NotNull(on.ReadingSeconds);
        Assert.Equal(RunMode.Driven, _bench.Archive.FindRun(run.Id)!.Plan.Mode);
    }

    [Fact(Timeout = 60000)]
    public async Task It_is_not_turned_on_where_nothing_is_driven_no_run_is_open_or_nothing_answers()
    {
        await using var observed = new LaneBench(TestTester.Config(), TestContext.Current.CancellationToken);
        var other = await observed.StartAsync();
        var notDriven = await observed.Lane.TurnHeaterOnAsync(other.Id, "R. Halden", Cancelled);
        var notOpen = await _bench.Lane.TurnHeaterOnAsync("none", "R. Halden", Cancelled);
        _tester.Deaf = true;
        var run = await _bench.StartAsync();
        await HeatAsync(2);
        var deaf = await _bench.Lane.TurnHeaterOnAsync(run.Id, "R. Halden", Cancelled);

        Assert.Equal((CommandOutcome.NotTaken, CommandOutcome.NotOpen, CommandOutcome.NotTaken), (notDriven.Outcome, notOpen.Outcome, deaf.Outcome));
        Assert.Contains("is not driven", notDriven.Text, StringComparison.Ordinal);
        Assert.Contains("has not acknowledged", deaf.Text, StringComparison.Ordinal);
        Assert.Null(observed.Lane.Overview().Drive);
        Assert.Empty(Facts(run.Id));
        Assert.Equal(CommandOutcome.NotTaken, (await observed.Lane.TurnHeaterOffAsync(Cancelled)).Outcome);
    }

    [Fact(Timeout = 60000)]
    public async Task Off_is_always_taken_and_recorded_once()
    {
        var before = await _bench.Lane.TurnHeaterOffAsync(Cancelled);
        var run = await HeatedAsync(TestContext.Current.CancellationToken);

        var off = await _bench.Lane.TurnHeaterOffAsync(Cancelled);
        await HeatAsync(0.2);
        Assert.True(_tester.Newest!.IsSafe);
        var again = await _bench.Lane.TurnHeaterOffAsync(Cancelled);
        await _bench.StopAsync(run.Id);
        var closed = await _bench.Lane.TurnHeaterOffAsync(Cancelled);

        Assert.All([before, off, again, closed], answer => Assert.Equal(CommandOutcome.Done, answer.Outcome));
        var cut = Assert.Single(Facts(run.Id).OfType<HeaterCut>(), cut => cut.WasOn);
        Assert.Equal(TripCodes.OperatorStop, cut.Code);
        Assert.DoesNotContain(_bench.Lane.Overview().Alarms, alarm => alarm.Code.StartsWith("heater", StringComparison.Ordinal));
    }

    [Fact(Timeout = 60000)]
    public async Task A_silent_thermometer_cuts_the_heater_alarms_and_stands_until_it_is_turned_on_again()
    {
        var run = await HeatedAsync(TestContext.Current.CancellationToken);

        await HeatAsync(2.5, silent: true);
        Assert.True(_bench.Stands(TripCodes.ReadingSilent));
        Assert.Equal((0.0, TripCodes.ReadingSilent), (_tester.Newest!.HeaterFraction, Drive.Trips.Single().Code));
        Assert.Equal(CommandOutcome.NotTaken, (await _bench.Lane.TurnHeaterOnAsync(run.Id, "R. Halden", Cancelled)).Outcome);
        await HeatAsync(1);
        Assert.True(_bench.Stands(TripCodes.ReadingSilent));
        Assert.Equal(CommandOutcome.Done, (await _bench.Lane.TurnHeaterOnAsync(run.Id, "T. Moen", Cancelled)).Outcome);

        Assert.False(_bench.Stands(TripCodes.ReadingSilent));
        Assert.Equal(["R. Halden", "T. Moen"], Facts(run.Id).OfType<HeaterTurnedOn>().Select(on => on.Person));
        Assert.Contains(_bench.Archive.ReadEvents(run.Id, 0).OfType<FindingRaised>(), raised => raised.Finding.Code == "heater-cut");
    }

    [Fact(Timeout = 60000)]
    public async Task A_trip_stands_after_its_run_and_is_over_with_the_next_whose_numbers_are_higher()
    {
        var run = await HeatedAsync(TestContext.Current.CancellationToken);
        _tester.Deaf = true;
        await HeatAsync(4.5);
        Assert.True(_bench.Stands(TripCodes.NotAcknowledged));
        await _bench.StopAsync(run.Id);
        Assert.True(_bench.Stands(TripCodes.NotAcknowledged));
        var newest = _tester.Newest!.Sequence;

        var next = await _bench.StartAsync();
        await HeatAsync(0.3);

        Assert.False(_bench.Stands(TripCodes.NotAcknowledged));
        Assert.Empty(Drive.Trips);
        Assert.True(_tester.Newest.Sequence > newest);
        Assert.NotEqual(run.Id, next.Id);
    }

    [Fact(Timeout = 60000)]
    public async Task Stopping_the_run_turns_the_heater_off_before_its_record_is_closed()
    {
        var run = await HeatedAsync(TestContext.Current.CancellationToken);

        await _bench.StopAsync(run.Id);
        await HeatAsync(1);

        Assert.True(_tester.Newest!.IsSafe);
        var facts = _bench.Archive.ReadEvents(run.Id, 0).ToList();
        var cut = facts.FindIndex(fact => fact is HeaterCut { Code: TripCodes.RunNotOpen, WasOn: true });
        Assert.InRange(cut, 0, facts.FindIndex(fact => fact is RunClosed) - 1);
    }

    [Fact(Timeout = 60000)]
    public async Task A_record_that_closes_by_itself_with_the_heater_on_says_that_the_heater_went_off()
    {
        // A hot cup that goes on cooling although the heater was turned on: the supervision closes the record before the heat comes through.
        _tester.Celsius = 210;
        var run = await HeatedAsync(TestContext.Current.CancellationToken);
        for (var steps = 0; steps < 900 && _bench.Archive.FindRun(run.Id)!.Summary.ClosedAt is null; steps++)
        {
            _tester.Celsius -= 0.034;
            await HeatAsync(0.1);
        }

        Assert.NotNull(_bench.Archive.FindRun(run.Id)!.Summary.ClosedAt);
        var cut = Assert.Single(Facts(run.Id).OfType<HeaterCut>());
        Assert.Equal((TripCodes.RunNotOpen, true), (cut.Code, cut.WasOn));
        Assert.Equal(0, _tester.Newest!.HeaterFraction);
    }

    [Fact(Timeout = 60000)]
    public async Task A_connection_that_is_lost_and_back_between_two_ticks_cuts_the_heater()
    {
        var run = await HeatedAsync(TestContext.Current.CancellationToken);

        _bench.Lane.Inbox.SetConnection(ConnectionState.Down, "the cable was pulled");
        _bench.Lane.Inbox.SetConnection(ConnectionState.Up, null);
        await HeatAsync(1);

        Assert.True(_bench.Stands(TripCodes.NotAcknowledged));
        Assert.Equal(0, _tester.Newest!.HeaterFraction);
        Assert.Equal(TripCodes.NotAcknowledged, Assert.Single(Facts(run.Id).OfType<HeaterCut>()).Code);
        Assert.Equal(CommandOutcome.Done, (await _bench.Lane.TurnHeaterOnAsync(run.Id, "R. Halden", Cancelled)).Outcome);
    }

    [Fact(Timeout = 60000)]
    public async Task Who_turned_the_heater_off_is_in_the_record()
    {
        var run = await HeatedAsync(TestContext.Current.CancellationToken);

        await _bench.Lane.TurnHeaterOffAsync("T. Moen", Cancelled);

        var cut = Assert.Single(Facts(run.Id).OfType<HeaterCut>());
        Assert.Equal((TripCodes.OperatorStop, "T. Moen turned the heater off."), (cut.Code, cut.Text));
    }

    [Fact(Timeout = 60000)]
    public async Task The_end_of_the_service_turns_the_heater_off_and_is_recorded()
    {
        var run = await HeatedAsync(TestContext.Current.CancellationToken);

        await _bench.EndAsync();

        await _bench.MeanwhileAsync(() => _tester.Newest!.IsSafe);
        var cut = Assert.Single(Facts(run.Id).OfType<HeaterCut>());
        Assert.Equal((TripCodes.ServiceStopping, true), (cut.Code, cut.WasOn));
    }

    [Fact(Timeout = 60000)]
    public async Task It_is_turned_on_only_where_that_is_recorded()
    {
        var run = await _bench.StartAsync();
        await HeatAsync(2);
        _bench.BreakArchive();

        var first = await _bench.Lane.TurnHeaterOnAsync(run.Id, "R. Halden", TestContext.Current.CancellationToken);
        await HeatAsync(1);
        var second = await _bench.Lane.TurnHeaterOnAsync(run.Id, "R. Halden", Cancelled);

        // Whether the first is asked before or after the archive is seen to be broken is a matter of moments.
        Assert.Contains(first.Outcome, (CommandOutcome[])[CommandOutcome.ArchiveFailed, CommandOutcome.NotTaken]);
        Assert.Equal(CommandOutcome.NotTaken, second.Outcome);
        Assert.False(Drive.On);
        Assert.Equal(0, _tester.Newest!.HeaterFraction);
        _bench.MendArchive();
        await _bench.UntilAsync(() => _bench.Lane.ArchiveTrouble is null);
    }

    [Fact(Timeout = 60000)]
    public async Task A_tester_that_starts_again_closes_the_run_and_is_not_heated()
    {
        await HeatedAsync(TestContext.Current.CancellationToken);

        _at = 3;
        await HeatAsync(1);

        Assert.False(Drive.On);
        Assert.True(_tester.Newest!.IsSafe);
        Assert.NotNull(_bench.Run!.ClosedAt);
    }

    [Fact(Timeout = 60000)]
    public async Task The_record_judged_again_states_the_same_facts()
    {
        var run = await HeatedAsync(TestContext.Current.CancellationToken);
        await HeatAsync(2.5, silent: true);
        await HeatAsync(1);
        await _bench.Lane.TurnHeaterOffAsync(Cancelled);
        await _bench.StopAsync(run.Id);

        var live = _bench.Archive.ReadEvents(run.Id, 0).ToList();
        var again = new List<RunOutput>();
        RunReplay.RunWhole(_bench.Archive.FindRun(run.Id)!.Plan, _bench.Archive.ReadRows(run.Id), live, again);

        Assert.Contains(live, fact => fact is HeaterCut);
        Assert.Equal(JsonSerializer.Serialize(live), JsonSerializer.Serialize(again));
    }

    [Fact(Timeout = 60000)]
    public async Task A_lane_that_fails_leaves_no_heater_on()
    {
        var time = new FakeTimeProvider(new DateTimeOffset(2026, 11, 25, 20, 15, 3, TimeSpan.Zero));
        await using var archive = TestTester.OpenArchive();
        var failing = false;
        var port = ArchivePort.To(archive) with { Trouble = () => failing ? throw new InvalidOperationException("a bug") : null };
        var lane = new Lane(TestTester.Driven(), port, new(archive), time, "0", MethodSet.Embedded, NullLogger.Instance);
        var tester = new WireTester(lane.Outlet!, TestContext.Current.CancellationToken);
        var loop = Task.Run(() => lane.RunAsync(Cancelled), Cancelled);
        var run = (await lane.StartAsync(TestTester.Order, Cancelled)).Run!;
        for (var at = 0; at < 200 && !(tester.Newest?.HeaterFraction > 0); at++)
        {
            await lane.Inbox.WriteAsync(tester.Row(at / 10.0), Cancelled);
            time.Advance(TimeSpan.FromMilliseconds(100));
            await Task.Delay(TimeSpan.FromMilliseconds(5), TimeProvider.System, Cancelled);
            if (at == 30)
            {
                await lane.TurnHeaterOnAsync(run.Id, "R. Halden", Cancelled);
            }
        }

        Assert.True(tester.Newest!.HeaterFraction > 0);
        failing = true;
        while (!loop.IsCompleted)
        {
            time.Advance(TimeSpan.FromMilliseconds(100));
            await Task.Delay(TimeSpan.FromMilliseconds(5), TimeProvider.System, Cancelled);
        }

        await Assert.ThrowsAsync<InvalidOperationException>(() => loop);
        await Task.Delay(TimeSpan.FromMilliseconds(50), TimeProvider.System, Cancelled);
        Assert.True(tester.Newest!.IsSafe);
        Assert.False(lane.Overview().Drive!.On);
        Assert.Contains(lane.Overview().Alarms, alarm => alarm.Code == TripCodes.ProgramFault);
    }

    [Fact(Timeout = 60000)]
    public async Task Commands_come_often_enough_for_the_shortest_lifetime()
    {
        await using var bench = new LaneBench(TestTester.Driven(lifetimeMilliseconds: 300), TestContext.Current.CancellationToken);
        var tester = new WireTester(bench.Lane.Outlet!, Cancelled);
        await bench.StartAsync();
        for (var step = 0; step < 40; step++)
        {
            bench.Time.Advance(TimeSpan.FromMilliseconds(50));
            await Task.Delay(TimeSpan.FromMilliseconds(8), TimeProvider.System, Cancelled);
        }

        // Two seconds hold six lifetimes; at least three commands in each, less what the first and last moment take.
        Assert.True(tester.Taken.Count >= 16, $"{tester.Taken.Count} commands in 2 s");
    }
}
