using Acquire.Core.Control;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Control;

public sealed class HeartbeatTests
{
    [Fact]
    public void A_command_goes_out_at_once_then_every_third_of_its_lifetime()
    {
        var beat = Heartbeat.From(41);

        Assert.Equal(new HeaterCommand(10, 41, 0.5, 1500), beat.Beat(10, 0.5));
        Assert.Null(beat.Beat(10.49, 0.5));
        Assert.Equal(new HeaterCommand(10.5, 42, 0.5, 1500), beat.Beat(10.5, 0.5));
        Assert.Equal(11, beat.DueSeconds);
    }

    [Fact]
    public void Off_goes_out_without_waiting_and_a_change_soon()
    {
        var beat = Heartbeat.From(0);
        beat.Beat(0, 0.5);

        Assert.Null(beat.Beat(0.1, 0.6));
        Assert.Equal(0.6, beat.Beat(0.25, 0.6)!.PowerFraction);
        Assert.Null(beat.Beat(0.5, 0.6001));
        Assert.Equal(0, beat.Beat(0.51, 0)!.PowerFraction);
        Assert.Null(beat.Beat(0.52, 0));
    }

    [Fact]
    public void A_tester_that_follows_the_rule_is_off_within_a_lifetime_of_silence_and_takes_no_old_command()
    {
        var first = new HeaterCommand(0, 7, 0.4, 1500);

        Assert.False(first.ExpiredAfter(1.499));
        Assert.True(first.ExpiredAfter(1.5));
        Assert.True(first.ExpiredAfter(double.NaN));
        Assert.True(first.Follows(null));
        Assert.False(first.Follows(first));
        Assert.True((first with { Sequence = 8 }).Follows(first));
    }

    [Fact]
    public void However_often_it_is_asked_beats_are_no_farther_apart_than_a_third_and_numbers_grow()
    {
        Gen.Select(Gen.Int[300, 10_000], Gen.Select(Gen.Double[0.001, 0.1], Gen.Double).Array[1, 300]).Sample(drawn =>
        {
            var (lifetime, steps) = drawn;
            var beat = Heartbeat.From(100, lifetime);
            var (seconds, last) = (0.0, beat.Beat(0, 0)!);
            foreach (var (step, power) in steps)
            {
                seconds += step;
                if (beat.Beat(seconds, power) is { } command)
                {
                    Assert.InRange(command.PowerFraction, 0, 1);
                    Assert.True(command.Follows(last));
                    last = command;
                }

                Assert.True(seconds - last.AtSeconds < lifetime / 3000.0);
            }
        });
    }

    [Fact]
    public void A_heartbeat_that_was_kept_goes_on_and_lifetimes_out_of_range_are_refused()
    {
        var beat = Heartbeat.From(5, 900);
        beat.Beat(3, 1);
        var again = Kept.Again(beat);

        Assert.Equal(new HeaterCommand(3.3, 6, 1, 900), again.Beat(3.3, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => Heartbeat.From(0, 299));
        Assert.Throws<ArgumentOutOfRangeException>(() => Heartbeat.From(0, 10_001));
        Kept.EveryMember(typeof(Heartbeat));
    }
}
