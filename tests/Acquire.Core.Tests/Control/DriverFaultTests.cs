using Acquire.Core.Control;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Xunit;

namespace Acquire.Core.Tests.Control;

/// <summary>Faults of tester, thermometer and wire while the heater is on, each told by its own name.</summary>
public sealed class DriverFaultTests
{
    private static string[] Cut(DrivenTester tester) => [.. tester.Facts.OfType<HeaterCut>().Where(cut => cut.WasOn).Select(cut => cut.Code)];

    private static DrivenTester Risen(double startCelsius = 60)
    {
        var tester = new DrivenTester(startCelsius).Wait(2);
        Assert.Null(tester.TurnOn());
        tester.CelsiusPerSecond = 0.2;
        return tester.Wait(120);
    }

    [Theory]
    [InlineData(0.5, 7)]
    [InlineData(3, 9)]
    [InlineData(40, 12)]
    public void A_thermometer_that_leaves_the_cup_under_power_cuts_the_heater_at_once(double slideSeconds, double withinSeconds)
    {
        var tester = Risen();
        var from = tester.Celsius;

        tester.CelsiusPerSecond = (24 - from) / slideSeconds;
        tester.Wait(Math.Min(slideSeconds, withinSeconds));
        tester.CelsiusPerSecond = 0;
        tester.Wait(withinSeconds - Math.Min(slideSeconds, withinSeconds));

        Assert.Equal([TripCodes.ReadingFell], Cut(tester));
        Assert.Equal(0, tester.Newest.HeaterFraction);
        Assert.Contains("while the heater was on", Assert.Single(tester.Driver.Trips).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_thermometer_that_leaves_the_cup_before_the_heat_has_come_through_is_noticed_too()
    {
        var tester = new DrivenTester(startCelsius: 84).Wait(2);
        Assert.Null(tester.TurnOn());
        tester.Wait(10);

        tester.CelsiusPerSecond = -1.5;
        tester.Wait(20);

        Assert.Equal([TripCodes.ReadingFell], Cut(tester));
    }

    [Fact]
    public void One_wild_reading_in_each_second_is_no_fall()
    {
        var tester = Risen();
        var count = 0;

        tester.Wait(30, change: row => row with { TemperatureCelsius = row.TemperatureCelsius + (++count % 10 == 0 ? (count % 20 == 0 ? 40 : -40) : 0) });

        Assert.Empty(tester.Driver.Trips);
    }

    [Fact]
    public void A_hot_cup_that_goes_on_cooling_after_it_was_turned_on_again_is_no_fall()
    {
        var tester = Risen(startCelsius: 150);
        tester.Send(tester.Driver.TurnOff(tester.Now, tester.Facts));
        tester.CelsiusPerSecond = -0.3;
        tester.Wait(30);
        Assert.Null(tester.TurnOn());

        // The plate has to become warmer than the cup first.
        tester.Wait(20);
        tester.CelsiusPerSecond = 0.1;
        tester.Wait(120);

        Assert.Equal([TripCodes.OperatorStop], Cut(tester));
        Assert.True(tester.Driver.IsOn);
    }

    [Fact]
    public void The_supervision_s_word_that_the_cup_cools_cuts_a_heater_whose_heat_had_come_through()
    {
        var tester = Risen();

        tester.Driver.Note(new PhaseChanged(tester.Now, RunPhase.ControlledHeating, RunPhase.Cooling, tester.Celsius));
        tester.Wait(0.1);

        Assert.Equal([TripCodes.ReadingFell], Cut(tester));
    }

    [Fact]
    public void A_record_that_closes_by_itself_with_the_heater_on_says_that_it_was_cut()
    {
        var tester = Risen();

        tester.Driver.Note(new RunClosed(tester.Now, null!));
        tester.Wait(0.1);

        var cut = Assert.Single(tester.Facts.OfType<HeaterCut>());
        Assert.Equal((TripCodes.RunNotOpen, true), (cut.Code, cut.WasOn));
    }

    [Fact]
    public void Power_that_was_told_before_the_wire_went_down_is_neither_disobedience_nor_shown_for_ever()
    {
        var tester = Risen();
        tester.GivesFraction = 0.4;
        tester.Wait(1);

        tester.Wait(20, silent: true);

        Assert.Equal([TripCodes.ReadingSilent], Cut(tester));
        Assert.DoesNotContain(tester.Driver.Trips, trip => trip.Code == TripCodes.NotObeyed);
        Assert.Null(tester.Driver.GivenFraction);
    }

    [Fact]
    public void A_tester_that_cannot_hear_the_0_may_heat_on_for_its_lifetime()
    {
        var tester = new DrivenTester(settings: DrivenTester.Settings with { LifetimeMilliseconds = 6000 }).Heated();
        tester.Deaf = true;
        tester.Send(tester.Driver.TurnOff(tester.Now, tester.Facts));

        tester.Wait(8.5);
        Assert.DoesNotContain(tester.Driver.Trips, trip => trip.Code == TripCodes.NotObeyed);
        tester.GivesFraction = 0.4;
        tester.Wait(1);

        Assert.Contains(tester.Driver.Trips, trip => trip.Code == TripCodes.NotObeyed);
    }

    [Fact]
    public void A_tester_that_let_its_command_run_out_is_not_heated_again_by_the_next_one()
    {
        var tester = Risen();

        tester.Deaf = true;
        tester.Wait(1.8);
        tester.Deaf = false;
        tester.Wait(5);

        Assert.Equal([TripCodes.NotAcknowledged], Cut(tester));
        Assert.Equal(0, tester.Newest.HeaterFraction);
        Assert.Contains("obeys no command any more", Assert.Single(tester.Driver.Trips).Text, StringComparison.Ordinal);
        Assert.Null(tester.TurnOn());
        Assert.True(tester.Wait(5).Driver.IsOn);
    }

    [Fact]
    public void Rows_that_never_tell_of_commands_do_not_say_that_none_is_obeyed()
    {
        var tester = Risen();
        var count = 0;

        tester.Wait(10, change: row => ++count % 2 == 0 ? row : row with { Present = RowChannels.Detector });

        Assert.Empty(tester.Driver.Trips);
    }

    [Fact]
    public void A_connection_that_was_lost_for_a_moment_cuts_the_heater()
    {
        var tester = Risen();

        tester.Send(tester.Driver.ConnectionLost(tester.Now, tester.Facts));
        tester.Wait(1);

        Assert.Equal([TripCodes.NotAcknowledged], Cut(tester));
        Assert.Contains("connection", Assert.Single(tester.Driver.Trips).Text, StringComparison.Ordinal);
        tester.Send(tester.Driver.ConnectionLost(tester.Now, tester.Facts));
        Assert.Single(tester.Driver.Trips);
    }

    [Fact]
    public void A_flame_that_stays_over_the_cup_although_it_was_commanded_away_is_told()
    {
        var tester = Risen();

        tester.Wait(3.3, change: row => row with { FlameOver = true });
        Assert.True(tester.Driver.IsOn == (tester.Driver.Trips.Count == 0));
        tester.Wait(1, change: row => row with { FlameOver = true });

        Assert.Equal([TripCodes.FlameNotObeyed], Cut(tester));
        Assert.Contains("stuck over the cup", Assert.Single(tester.Driver.Trips).Text, StringComparison.Ordinal);
        Assert.Contains("flame is over the cup", tester.TurnOn()!.Message, StringComparison.Ordinal);
        Assert.Null(tester.Wait(0.5).TurnOn());
    }

    [Theory]
    [InlineData(300)]
    [InlineData(1500)]
    [InlineData(10000)]
    public void At_least_three_commands_go_out_within_each_lifetime_at_the_pace_of_the_lane(int lifetime)
    {
        var tester = new DrivenTester(settings: DrivenTester.Settings with { LifetimeMilliseconds = lifetime });
        var tick = Heartbeat.LongestTickSeconds(lifetime);
        var sent = new List<double>();
        for (var now = 0.0; now < 60; now += tick)
        {
            if (tester.Driver.Tick(now, tester.Facts) is not null)
            {
                sent.Add(now);
            }
        }

        Assert.All(sent.Zip(sent.Skip(3)), pair => Assert.True(pair.Second - pair.First <= (lifetime / 1000.0) + 1e-6, $"{pair}"));
        Assert.True(sent.Count > 10);
    }
}
