using Acquire.Core.Control;
using Acquire.Core.Runs;
using Acquire.Service.Lanes;
using Acquire.Service.Live;
using Acquire.Service.Tests.Lanes.Driving;
using Xunit;

namespace Acquire.Service.Tests.Lanes.Resuming;

/// <summary>A driven run that goes on after the service had stopped: no heat before a person decides.</summary>
public sealed class ResumedDriveTests : IAsyncLifetime
{
    private readonly ResumeBench _bench = new();
    private WireTester _tester = null!;
    private double _at = 500;

    private static CancellationToken Cancelled => TestContext.Current.CancellationToken;

    private DriveOverview Drive => _bench.Lane.Overview().Drive!;

    public ValueTask InitializeAsync() => ValueTask.CompletedTask;

    public ValueTask DisposeAsync() => _bench.DisposeAsync();

    private async Task HeatAsync(double seconds)
    {
        for (var steps = (int)(seconds * 10); steps > 0; steps--)
        {
            _at = Math.Round(_at + 0.1, 6);
            await _bench.SendAsync(_tester.Row(_at));
            _bench.Time.Advance(TimeSpan.FromMilliseconds(100));
            await _bench.UntilAsync(() => _bench.Lane.Inbox.Counters.QueueDepth == 0);
            await Task.Delay(TimeSpan.FromMilliseconds(4), TimeProvider.System, Cancelled);
        }
    }

    private async Task<string> HeatedAsync(CancellationToken cancelled)
    {
        await _bench.StartAsync(cancelled, TestTester.Driven());
        _tester = new(_bench.Lane.Outlet!, cancelled);
        var run = await _bench.BeginAsync();
        await HeatAsync(2);
        Assert.Equal(CommandOutcome.Done, (await _bench.Lane.TurnHeaterOnAsync(run, "R. Halden", cancelled)).Outcome);
        await HeatAsync(12);
        Assert.True(_tester.Newest!.HeaterFraction > 0);
        return run;
    }

    private async Task AgainAsync(bool killed)
    {
        var celsius = _tester.Celsius;
        if (killed)
        {
            await _bench.KillAsync();
        }

        await _bench.AgainAsync(20, TestTester.Driven(), before: lane => _tester = new(lane.Outlet!, Cancelled) { Celsius = celsius });
        _at += 20;
    }

    [Theory(Timeout = 60000)]
    [InlineData(true)]
    [InlineData(false)]
    public async Task Its_heater_is_commanded_off_and_stays_off_until_a_person_turns_it_on(bool killed)
    {
        var run = await HeatedAsync(TestContext.Current.CancellationToken);
        var highest = _tester.Newest!.Sequence;

        await AgainAsync(killed);
        await HeatAsync(3);

        Assert.True(_tester.Taken.Count >= 3);
        Assert.All(_tester.Taken, command => Assert.True(command.IsSafe && command.Sequence > highest));
        Assert.Equal((false, TripCodes.Resumed), (Drive.On, Assert.Single(Drive.Trips).Code));
        Assert.True(_bench.Stands(TripCodes.Resumed));
        Assert.Equal(CommandOutcome.Done, (await _bench.Lane.TurnHeaterOnAsync(run, "A. Berg", Cancelled)).Outcome);
        await HeatAsync(12);
        Assert.True(_tester.Newest!.HeaterFraction > 0);
        Assert.False(_bench.Stands(TripCodes.Resumed));

        var facts = _bench.Facts(run).Where(fact => fact is HeaterFact or RunResumed).ToArray();
        var cut = facts.OfType<HeaterCut>().Last();
        Assert.Equal((TripCodes.Resumed, killed), (cut.Code, cut.WasOn));
        Assert.Equal(["R. Halden", "A. Berg"], facts.OfType<HeaterTurnedOn>().Select(on => on.Person));
        Assert.True(Array.IndexOf(facts, cut) > Array.FindIndex(facts, fact => fact is RunResumed));
    }

    [Fact(Timeout = 60000)]
    public async Task It_is_not_turned_on_before_the_tester_has_answered_again()
    {
        var run = await HeatedAsync(TestContext.Current.CancellationToken);

        await AgainAsync(killed: true);
        var early = await _bench.Lane.TurnHeaterOnAsync(run, "A. Berg", Cancelled);

        Assert.Equal(CommandOutcome.NotTaken, early.Outcome);
        Assert.False(Drive.On);
    }
}
