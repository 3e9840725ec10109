using Acquire.Core.Control;
using Acquire.Core.Readings;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator.Driven;

/// <summary>Rule, faults and cup together, with a clock of its own.</summary>
public sealed class DrivenTesterTests
{
    private static readonly DrivenOptions Usual = DrivenSpecimens.Of("iso-2592-2017", 220);

    [Fact]
    public void The_heater_is_cut_by_the_clock_and_not_by_the_hurried_time_of_the_cup()
    {
        var tester = new DrivenTester(Usual);
        tester.Receive(Command(1, 0.5), 0);

        var rows = tester.Advance(40, 4);

        // 1.5 s of the clock are 15 s of a cup that is ten times as fast.
        Assert.All(rows, row => Assert.Equal(row.AtSeconds < 15, row.Has(RowChannels.Command)));
        Assert.All(rows, row => Assert.Equal(row.AtSeconds < 15 ? 0.5 : 0, row.HeaterFraction));
        Assert.Equal(40, tester.Seconds, 6);
    }

    [Fact]
    public void A_command_changes_nothing_before_it_arrives()
    {
        var tester = new DrivenTester(Usual);

        var before = tester.Advance(1, 1);
        tester.Receive(Command(1, 0.5), 1);
        var after = tester.Advance(2, 2);

        Assert.All(before, row => Assert.Equal(0, row.HeaterFraction));
        Assert.All(after, row => Assert.Equal((1, 0.5), (row.Command, row.HeaterFraction)));
    }

    [Fact]
    public void A_relay_that_sticks_goes_on_heating_and_says_so()
    {
        var tester = Faulty(new(TesterFaultKind.StuckRelay, 1));
        tester.Receive(Command(1, 0.5), 0);
        tester.Advance(1.2, 1.2);
        tester.Receive(Command(2, 0.8), 1.2);
        Assert.Equal(0.8, tester.Advance(1.5, 1.5)[^1].HeaterFraction);
        tester.Receive(Command(3, 0), 1.5);

        Assert.All(tester.Advance(50, 50), row => Assert.Equal(0.5, row.HeaterFraction));
    }

    [Fact]
    public void A_relay_that_sticks_before_anything_was_asked_of_it_does_not_heat()
    {
        var tester = Faulty(new(TesterFaultKind.StuckRelay, 0));

        Assert.All(tester.Advance(5, 5), row => Assert.Equal(0, row.HeaterFraction));
    }

    [Fact]
    public void One_that_never_acknowledges_obeys_all_the_same()
    {
        var tester = Faulty(new(TesterFaultKind.NeverAcknowledges, 0));
        tester.Receive(Command(1, 0.5), 0);

        Assert.All(tester.Advance(1, 1), row => Assert.Equal((false, 0.5), (row.Has(RowChannels.Command), row.HeaterFraction)));
    }

    [Fact]
    public void One_that_ignores_the_flame_never_has_it_over_the_cup()
    {
        var tester = Faulty(new(TesterFaultKind.IgnoresFlame, 0));
        tester.Receive(Command(1, 0.5) with { FlameOver = true }, 0);

        Assert.All(tester.Advance(1.4, 1.4), row => Assert.False(row.FlameOver));
    }

    [Fact]
    public void One_that_obeys_late_counts_lifetimes_from_then()
    {
        var tester = Faulty(new(TesterFaultKind.ObeysLate, 0, 0.8));
        tester.Receive(Command(1, 0.5), 0);

        var rows = tester.Advance(5, 5);

        Assert.All(rows, row => Assert.Equal(row.AtSeconds is >= 0.8 and < 2.3, row.Has(RowChannels.Command)));
    }

    [Fact]
    public void One_that_drops_commands_drops_about_the_share()
    {
        var tester = Faulty(new(TesterFaultKind.DropsCommands, 0, 0.3));
        for (var sequence = 1; sequence <= 1000; sequence++)
        {
            tester.Receive(Command(sequence, 0), 0);
        }

        // Binomial, 1000 at 0.3: 14.5 standard deviation, five of them.
        Assert.InRange(tester.Commands.Dropped, 228, 372);
        Assert.Equal(1000, tester.Commands.Dropped + tester.Commands.Taken);
    }

    [Fact]
    public void A_fresh_portion_is_cold_while_time_and_thermometer_go_on()
    {
        var tester = new DrivenTester(Usual);
        for (var second = 0; second < 300; second++)
        {
            tester.Receive(Command(second + 1, 0.8), second);
            tester.Advance(second + 1, second + 1);
        }

        var shown = tester.Cup.ThermometerCelsius;
        tester.Refill(Usual.Run with { Seed = 9 });

        Assert.Equal(300, tester.Seconds, 6);
        Assert.Equal(25, tester.Cup.SpecimenCelsius);
        Assert.Equal(shown, tester.Cup.ThermometerCelsius);
        Assert.Equal(300, tester.Advance(301, 301)[0].AtSeconds, 6);
    }

    private static DriveCommand Command(long sequence, double heater) => new(sequence, 1500, heater, false, false);

    private static DrivenTester Faulty(TesterFault fault) => new(Usual with { Faults = [fault] });
}
