using Acquire.Core.Control;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Control;

public sealed class HeartbeatTests
{
    [Fact]
    public void A_command_goes_out_at_once_then_every_sixth_of_its_lifetime()
    {
        var beat = Heartbeat.From(41);

        Assert.Equal(new DriveCommand(41, 1500, 0.5, false, true), beat.Beat(10, 0.5, false, true));
        Assert.Null(beat.Beat(10.24, 0.5, false, true));
        Assert.Equal(new DriveCommand(42, 1500, 0.5, false, true), beat.Beat(10.25, 0.5, false, true));
        Assert.Equal(10.5, beat.DueSeconds);
    }

    [Fact]
    public void Less_heat_goes_out_without_waiting_and_more_soon()
    {
        var beat = Heartbeat.From(0);
        beat.Beat(0, 0.5, false, false);

        Assert.Null(beat.Beat(0.1, 0.6, false, false));
        Assert.Equal(0.6, beat.Beat(0.25, 0.6, false, false)!.HeaterFraction);
        Assert.Equal(0.55, beat.Beat(0.26, 0.55, false, false)!.HeaterFraction);
        Assert.Null(beat.Beat(0.5, 0.5501, false, false));
        Assert.Equal(0, beat.Beat(0.51, 0, false, false)!.HeaterFraction);
        Assert.Null(beat.Beat(0.52, 0, false, false));
    }

    [Fact]
    public void The_smallest_heat_is_taken_back_at_once()
    {
        var beat = Heartbeat.From(0);
        beat.Beat(0, 0.001, false, false);

        Assert.Equal(0, beat.Beat(0.01, 0, false, false)!.HeaterFraction);
    }

    [Fact]
    public void Flame_and_stirrer_go_out_without_waiting()
    {
        var beat = Heartbeat.From(0);
        beat.Beat(0, 0.5, false, true);

        Assert.True(beat.Beat(0.01, 0.5, true, true)!.FlameOver);
        Assert.False(beat.Beat(0.02, 0.5, true, false)!.StirrerOn);
        Assert.False(beat.Beat(0.03, 0.5, false, false)!.FlameOver);
        Assert.Null(beat.Beat(0.04, 0.5, false, false));
    }

    [Fact]
    public void A_tester_that_follows_the_rule_is_off_within_a_lifetime_of_silence_and_takes_no_old_command()
    {
        var first = new DriveCommand(7, 1500, 0.4, false, false);

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
        Gen.Select(Gen.Int[300, 10_000], Gen.Select(Gen.Double[0.001, 0.1], Gen.Double, Gen.Bool).Array[1, 300]).Sample(drawn =>
        {
            var (lifetime, steps) = drawn;
            var beat = Heartbeat.From(100, lifetime);
            var (seconds, last) = (0.0, beat.Beat(0, 0, false, false)!);
            foreach (var (step, power, flame) in steps)
            {
                seconds += step;
                if (beat.Beat(seconds, power, flame, false) is { } command)
                {
                    Assert.InRange(command.HeaterFraction, 0, 1);
                    Assert.True(command.Follows(last));
                    last = command;
                }

                Assert.True(seconds - beat.SentAtSeconds < lifetime / 3000.0);
                Assert.Equal(flame, last.FlameOver);
            }
        });
    }

    [Fact]
    public void A_heartbeat_that_was_kept_goes_on_and_lifetimes_out_of_range_are_refused()
    {
        var beat = Heartbeat.From(5, 900);
        beat.Beat(3, 1, false, false);
        var again = Kept.Again(beat);

        Assert.Equal(new DriveCommand(6, 900, 1, false, false), again.Beat(3.3, 1, false, false));
        Assert.Throws<ArgumentOutOfRangeException>(() => Heartbeat.From(0, 299));
        Assert.Throws<ArgumentOutOfRangeException>(() => Heartbeat.From(0, 10_001));
        Assert.Throws<ArgumentOutOfRangeException>(() => Heartbeat.From(-1));
        Kept.EveryMember(typeof(Heartbeat));
    }
}
