using System.Buffers;
using System.Text;
using Acquire.Service.Lanes;
using Acquire.Service.Sources.Mqtt;
using Xunit;

namespace Acquire.Service.Tests.Sources.Mqtt;

public sealed class ReadingDispatcherTests
{
    private const string Topic = """{ "filter": "a", "payload": "csv", "columns": [ { "channel": "time", "unit": "s" }, { "channel": "temperature", "unit": "degC" } ] }""";

    [Fact]
    public async Task Message_that_its_sender_repeats_is_left_out_whole_where_it_came_before()
    {
        var inbox = new LaneInbox("a", 1000, TimeProvider.System);
        var dispatcher = new ReadingDispatcher([(SourceSamples.Mqtt(Topic), inbox)]);

        await Send(dispatcher, "1,60\n2,61\n3,62", repeated: false);
        await Send(dispatcher, "1,60\n2,61\n3,62", repeated: true);
        await Send(dispatcher, "4,63\n5,64", repeated: true);

        Assert.Equal([1, 2, 3, 4, 5], Times(inbox));
        Assert.Equal(3, inbox.Counters.Repeated);
    }

    [Fact]
    public async Task Message_is_known_again_after_many_others_have_come()
    {
        var inbox = new LaneInbox("a", 1000, TimeProvider.System);
        var dispatcher = new ReadingDispatcher([(SourceSamples.Mqtt(Topic), inbox)]);
        for (var message = 0; message < 600; message++)
        {
            await Send(dispatcher, $"{message},60", repeated: false);
        }

        // A broker has at most 256 messages to repeat.
        await Send(dispatcher, "340,60", repeated: true);

        Assert.Equal(600, Times(inbox).Count);
        Assert.Equal(1, inbox.Counters.Repeated);
    }

    [Fact(Timeout = 30000)]
    public async Task Rows_that_have_to_wait_come_in_order_and_behind_them_those_of_the_next_message()
    {
        var inbox = new LaneInbox("a", 16, TimeProvider.System);
        var dispatcher = new ReadingDispatcher([(SourceSamples.Mqtt(Topic), inbox)]);
        var rows = Enumerable.Range(0, 40).Select(row => $"{row},60");

        var waiting = Send(dispatcher, string.Join('\n', rows), repeated: false).AsTask();
        Assert.False(waiting.IsCompleted);

        // The thread decodes another message meanwhile: what waits is not touched by it.
        var other = new LaneInbox("b", 1000, TimeProvider.System);
        await Send(new ReadingDispatcher([(SourceSamples.Mqtt(Topic), other)]), "7,60\n8,61", repeated: false);
        var times = new List<double>();
        while (times.Count < 40)
        {
            times.Add((await inbox.Rows.ReadAsync(TestContext.Current.CancellationToken)).AtSeconds);
        }

        await waiting;
        Assert.Equal(Enumerable.Range(0, 40).Select(row => (double)row), times);
        Assert.Equal([7, 8], Times(other));
    }

    private static ValueTask Send(ReadingDispatcher dispatcher, string payload, bool repeated) =>
        dispatcher.DispatchAsync("a", new ReadOnlySequence<byte>(Encoding.ASCII.GetBytes(payload)), null, repeated, TestContext.Current.CancellationToken);

    private static List<double> Times(LaneInbox inbox)
    {
        var times = new List<double>();
        while (inbox.Rows.TryRead(out var row))
        {
            times.Add(row.AtSeconds);
        }

        return times;
    }
}
