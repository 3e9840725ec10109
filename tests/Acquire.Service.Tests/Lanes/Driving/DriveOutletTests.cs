using Acquire.Core.Control;
using Acquire.Service.Lanes.Driving;
using Microsoft.Extensions.Time.Testing;
using Xunit;

namespace Acquire.Service.Tests.Lanes.Driving;

public sealed class DriveOutletTests
{
    private readonly FakeTimeProvider _time = new();

    private static DriveCommand Command(long sequence, double heater = 0.5) => new(sequence, 1500, heater, true, true);

    [Fact(Timeout = 30000)]
    public async Task The_newest_command_is_given_and_each_only_once()
    {
        var outlet = new DriveOutlet(_time);
        outlet.Post(Command(1));
        outlet.Post(Command(2));

        Assert.Equal(2, (await outlet.NextAsync(TestContext.Current.CancellationToken)).Sequence);
        var next = outlet.NextAsync(TestContext.Current.CancellationToken).AsTask();
        Assert.False(next.IsCompleted);
        outlet.Post(Command(3));
        Assert.Equal(3, (await next).Sequence);
    }

    [Fact(Timeout = 30000)]
    public async Task A_command_that_nobody_took_within_its_lifetime_is_never_sent()
    {
        var outlet = new DriveOutlet(_time);
        outlet.Post(Command(1));
        _time.Advance(TimeSpan.FromSeconds(1.5));

        var next = outlet.NextAsync(TestContext.Current.CancellationToken).AsTask();
        outlet.Post(Command(2));

        Assert.Equal(2, (await next).Sequence);
    }

    [Fact(Timeout = 30000)]
    public async Task The_end_is_three_times_off_above_all_numbers_and_nothing_comes_after()
    {
        var outlet = new DriveOutlet(_time);
        outlet.Post(Command(7));

        Assert.Equal([8, 9, 10], outlet.End().Select(command => command.Sequence));
        Assert.All(outlet.End(), command => Assert.Equal((0.0, false, false, 1500), (command.HeaterFraction, command.FlameOver, command.StirrerOn, command.LifetimeMilliseconds)));
        await outlet.NextAsync(TestContext.Current.CancellationToken);
        outlet.Post(Command(20));
        Assert.False(outlet.NextAsync(TestContext.Current.CancellationToken).AsTask().IsCompleted);
    }

    [Fact]
    public void A_tester_that_was_never_commanded_is_not_at_the_end_either() => Assert.Empty(new DriveOutlet(_time).End());
}
