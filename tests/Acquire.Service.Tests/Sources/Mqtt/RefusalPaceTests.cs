using Acquire.Service.Sources.Mqtt;
using Microsoft.Extensions.Time.Testing;
using Xunit;

namespace Acquire.Service.Tests.Sources.Mqtt;

public sealed class RefusalPaceTests
{
    private readonly FakeTimeProvider _time = new();

    [Fact]
    public void The_same_is_said_once_a_minute_with_how_many_were_left_out_and_another_at_once()
    {
        var pace = new RefusalPace(_time);
        Assert.True(pace.IsDue("nameless 10.0.0.7", out var leftOut));
        Assert.Equal("", leftOut);
        for (var second = 0; second < 59; second++)
        {
            _time.Advance(TimeSpan.FromSeconds(1));
            Assert.False(pace.IsDue("nameless 10.0.0.7", out _));
        }

        Assert.True(pace.IsDue("nameless 10.0.0.8", out leftOut));
        Assert.Equal("", leftOut);
        _time.Advance(TimeSpan.FromSeconds(1));
        Assert.True(pace.IsDue("nameless 10.0.0.7", out leftOut));
        Assert.Equal(" (59 more like this were not logged since)", leftOut);
        _time.Advance(RefusalPace.Between);
        Assert.True(pace.IsDue("nameless 10.0.0.7", out leftOut));
        Assert.Equal("", leftOut);
    }

    [Fact]
    public void Whoever_comes_with_ever_new_names_fills_neither_log_nor_memory()
    {
        var pace = new RefusalPace(_time);
        var said = Enumerable.Range(0, 10_000).Count(number => pace.IsDue($"user {number}", out _));
        Assert.Equal(RefusalPace.MostKinds + 1, said);

        _time.Advance(RefusalPace.Between);
        Assert.True(pace.IsDue("user 10001", out var leftOut));
        Assert.Equal("", leftOut);
    }
}
