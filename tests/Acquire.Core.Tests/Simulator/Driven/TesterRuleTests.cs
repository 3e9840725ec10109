using Acquire.Core.Control;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator.Driven;

/// <summary>The rule by which a driven tester obeys, example by example.</summary>
public sealed class TesterRuleTests
{
    private static DriveCommand Command(long sequence, double heater, bool flame = false, int lifetime = 1500) => new(sequence, lifetime, heater, flame, true);

    [Fact]
    public void At_the_start_the_heater_is_off_and_the_flame_away()
    {
        var rule = new TesterRule();

        Assert.Equal(new Obedience(null, 0, false, false), rule.At(0));
        Assert.Equal(new Obedience(null, 0, false, false), rule.At(1000));
    }

    [Fact]
    public void A_command_holds_for_its_lifetime_from_its_arrival_and_not_a_moment_longer()
    {
        var rule = new TesterRule();
        Assert.True(rule.Take(Command(5, 0.4, flame: true), 10));

        Assert.Equal(new Obedience(5, 0.4, true, true), rule.At(10));
        Assert.Equal(new Obedience(5, 0.4, true, true), rule.At(11.499));
        // Heater and flame are cut, the stirrer may go on, and no command is acknowledged any more.
        Assert.Equal(new Obedience(null, 0, false, true), rule.At(11.5));
    }

    [Fact]
    public void A_command_that_is_not_above_the_newest_is_not_taken_even_after_that_one_has_expired()
    {
        var rule = new TesterRule();
        rule.Take(Command(5, 0.4), 0);

        Assert.False(rule.Take(Command(5, 0.9), 0.1));
        Assert.False(rule.Take(Command(4, 0.9), 0.2));
        Assert.Equal(0.4, rule.At(0.3).HeaterFraction);
        Assert.False(rule.Take(Command(5, 0.9), 60));
        Assert.Equal(0, rule.At(60).HeaterFraction);
        Assert.Equal((1, 3), (rule.Taken, rule.Refused));
    }

    [Fact]
    public void A_refused_command_does_not_prolong_the_life_of_the_newest()
    {
        var rule = new TesterRule();
        rule.Take(Command(5, 0.4), 0);
        rule.Take(Command(5, 0.4), 1.4);

        Assert.Null(rule.At(1.5).Command);
    }

    [Fact]
    public void A_newer_command_replaces_the_whole_wanted_state_though_some_were_lost_between()
    {
        var rule = new TesterRule();
        rule.Take(Command(5, 0.4, flame: true), 0);
        rule.Take(Command(9, 0, flame: false, lifetime: 300), 1);

        Assert.Equal(new Obedience(9, 0, false, true), rule.At(1));
        Assert.Null(rule.At(1.3).Command);
    }

    [Fact]
    public void A_tester_that_was_switched_off_and_on_takes_any_number()
    {
        Assert.True(new TesterRule().Take(Command(0, 0.1), 0));
    }

    [Theory]
    [InlineData("stuck-relay:600", TesterFaultKind.StuckRelay, 600, 0)]
    [InlineData("obeys-late:0:0.8", TesterFaultKind.ObeysLate, 0, 0.8)]
    [InlineData("drops-commands:12.5:0.3", TesterFaultKind.DropsCommands, 12.5, 0.3)]
    public void Faults_are_read_from_text(string text, TesterFaultKind kind, double start, double value)
    {
        Assert.True(TesterFault.TryParse(text, "--tester-fault", out var fault, out _));
        Assert.Equal(new TesterFault(kind, start, value), fault);
        Assert.Empty(fault.Check("fault"));
    }

    [Theory]
    [InlineData("burns:0", "'burns' is no fault of a driven tester")]
    [InlineData("stuck-relay", "neither KIND:START nor KIND:START:VALUE")]
    [InlineData("stuck-relay:1,5", "neither KIND:START nor KIND:START:VALUE")]
    [InlineData("obeys-late:0:1:2", "neither KIND:START nor KIND:START:VALUE")]
    public void A_fault_that_cannot_be_read_is_refused_with_what_is_allowed(string text, string reason)
    {
        Assert.False(TesterFault.TryParse(text, "--tester-fault", out _, out var error));
        Assert.Equal("--tester-fault", error.Path);
        Assert.Contains(reason, error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Values_out_of_range_and_values_that_mean_nothing_are_refused()
    {
        Assert.Single(new TesterFault(TesterFaultKind.ObeysLate, 0).Check("f"));
        Assert.Single(new TesterFault(TesterFaultKind.DropsCommands, 0, 1.5).Check("f"));
        Assert.Single(new TesterFault(TesterFaultKind.StuckRelay, 0, 0.5).Check("f"));
        Assert.Single(new TesterFault(TesterFaultKind.StuckRelay, -1).Check("f"));
    }
}
