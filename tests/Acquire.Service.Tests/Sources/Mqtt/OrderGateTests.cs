using Acquire.Service.Sources.Mqtt;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Sources.Mqtt;

public sealed class OrderGateTests
{
    private readonly OrderGate _byTime = new(new(BySequence: false, LateSeconds: 5));
    private readonly OrderGate _bySequence = new(new(BySequence: true, LateSeconds: 5));

    [Fact]
    public void Time_seen_before_is_a_repetition()
    {
        Assert.Equal([Standing.InOrder, Standing.InOrder, Standing.Repeated, Standing.InOrder], Judge(_byTime, 1, 2, 1, 3));
    }

    [Fact]
    public void Time_behind_the_newest_within_the_window_is_late_once()
    {
        Assert.Equal([Standing.InOrder, Standing.Late, Standing.Repeated, Standing.Late], Judge(_byTime, 10, 5, 5, 9));
    }

    [Fact]
    public void Time_behind_the_window_begins_a_new_record_in_which_nothing_was_seen_yet()
    {
        Assert.Equal([Standing.InOrder, Standing.InOrder, Standing.InOrder, Standing.InOrder, Standing.InOrder, Standing.InOrder], Judge(_byTime, 0, 1, 7, 0, 1, 2));
    }

    [Fact]
    public void Count_that_is_left_out_is_missing_until_it_comes()
    {
        Assert.Equal((Standing.InOrder, 0), One(_bySequence, 1, 10));
        Assert.Equal((Standing.InOrder, 2), One(_bySequence, 1.3, 13));
        Assert.Equal((Standing.Late, -1), One(_bySequence, 1.1, 11));
        Assert.Equal((Standing.Repeated, 0), One(_bySequence, 1.1, 11));
        Assert.Equal((Standing.InOrder, 0), One(_bySequence, 1.4, 14));
    }

    [Fact]
    public void Several_readings_of_one_moment_are_told_apart_by_their_count()
    {
        Assert.Equal((Standing.InOrder, 0), One(_bySequence, 1, 1));
        Assert.Equal((Standing.InOrder, 0), One(_bySequence, 1, 2));
        Assert.Equal((Standing.Repeated, 0), One(_bySequence, 1, 2));
    }

    [Fact]
    public void Tester_that_starts_to_count_again_misses_nothing()
    {
        Assert.Equal((Standing.InOrder, 0), One(_bySequence, 100, 1000));
        Assert.Equal((Standing.InOrder, 0), One(_bySequence, 101, 0));
        Assert.Equal((Standing.InOrder, 0), One(_bySequence, 102, 1));
        Assert.Equal((Standing.InOrder, 0), One(_bySequence, 0, 0));
    }

    [Fact]
    public void Without_an_order_only_what_is_called_a_repetition_and_was_seen_is_left_out()
    {
        var gate = new OrderGate(null);

        Assert.Equal(Standing.InOrder, gate.Judge(1, null, repeated: false, out _));
        Assert.Equal(Standing.InOrder, gate.Judge(1, null, repeated: false, out _));
        Assert.Equal(Standing.Repeated, gate.Judge(1, null, repeated: true, out _));
        Assert.Equal(Standing.InOrder, gate.Judge(2, null, repeated: true, out _));
    }

    [Fact]
    public void However_readings_are_shuffled_and_repeated_within_the_window_each_is_taken_once()
    {
        Gen.Int[0, 49].Array[1, 400].Sample(counts =>
        {
            var gate = new OrderGate(new(BySequence: false, LateSeconds: 5));
            var taken = counts.Where(count => gate.Judge(100 + (count / 10.0), null, repeated: false, out _) != Standing.Repeated).ToArray();
            return taken.Length == taken.Distinct().Count() && taken.Length == counts.Distinct().Count();
        });
    }

    private static IEnumerable<Standing> Judge(OrderGate gate, params double[] times) => [.. times.Select(time => gate.Judge(time, null, repeated: false, out _))];

    private static (Standing Standing, long Missing) One(OrderGate gate, double time, long sequence) => (gate.Judge(time, sequence, repeated: false, out var missing), missing);
}
