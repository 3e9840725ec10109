using System.Globalization;
using System.Text.Json;
using Acquire.Core.Readings;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator;

public sealed class MqttSpeakerTests
{
    private static readonly ReadingRow[] Rows = new SimulatedRun(Specimens.BaseOil(21) with { TimestampJitterSeconds = 0.002 }).Where(row => row.AtSeconds >= 1040).Take(3000).ToArray();

    [Fact(Timeout = 30000)]
    public async Task Every_row_arrives_once_and_in_order_as_arrays_of_objects()
    {
        using var broker = new ScriptedBroker(_ => ScriptedBroker.Mishap.None);

        await Speaker(broker, false).SpeakAsync(Rows, 60, TestContext.Current.CancellationToken);

        Assert.All(broker.Received, message => Assert.Equal("acquire/bench-1/readings", message.Topic));
        Assert.Equal(Rows, broker.Received.SelectMany(message => Parse(message.Payload)));
        // 60 s of rows at sixty times the speed, a message every 40 ms.
        Assert.InRange(broker.Received.Count, 10, 40);
    }

    [Fact(Timeout = 30000)]
    public async Task Rows_without_a_flame_signal_have_no_flame()
    {
        using var broker = new ScriptedBroker(_ => ScriptedBroker.Mishap.None);
        var rows = new SimulatedRun(Specimens.BaseOil() with { HasFlameSignal = false }).Take(2).ToArray();

        await Speaker(broker, false).SpeakAsync(rows, 1, TestContext.Current.CancellationToken);

        Assert.Equal(rows, broker.Received.SelectMany(message => Parse(message.Payload)));
        Assert.DoesNotContain("flame", broker.Received[0].Payload, StringComparison.Ordinal);
    }

    [Fact(Timeout = 30000)]
    public async Task A_broker_that_drops_and_refuses_costs_no_row()
    {
        var troubles = new List<string>();
        using var broker = new ScriptedBroker(number => number switch
        {
            3 => ScriptedBroker.Mishap.DropUnread,
            6 => ScriptedBroker.Mishap.DropUnacknowledged,
            9 => ScriptedBroker.Mishap.Refuse,
            _ => ScriptedBroker.Mishap.None,
        });

        await Speaker(broker, false, troubles.Add).SpeakAsync(Rows, 60, TestContext.Current.CancellationToken);

        var arrived = broker.Received.SelectMany(message => Parse(message.Payload)).ToArray();
        Assert.Equal(Rows, arrived.Distinct());
        Assert.True(arrived.Length > Rows.Length, "the message whose acknowledgement was lost comes twice");
        Assert.Equal(3, broker.Connections);
        Assert.Equal(3, troubles.Count);
        Assert.Contains("QuotaExceeded", troubles[2], StringComparison.Ordinal);
        Assert.All(troubles, trouble => Assert.Contains("Next try in 0.5 s", trouble, StringComparison.Ordinal));
    }

    [Fact(Timeout = 30000)]
    public async Task Separate_topics_carry_plain_numbers_and_the_flame_when_it_changes()
    {
        using var broker = new ScriptedBroker(number => number == 40 ? ScriptedBroker.Mishap.DropUnread : ScriptedBroker.Mishap.None);
        var rows = Rows.SkipWhile(row => !row.FlameOver).Take(400).ToArray();

        await Speaker(broker, true).SpeakAsync(rows, 20, TestContext.Current.CancellationToken);

        // Up to sixteen messages were on their way as the connection fell and came again; numbers without a time cannot be told apart, so count from behind.
        var temperatures = Values(broker, "temperature");
        Assert.Equal(rows.Select(row => row.TemperatureCelsius).TakeLast(300), temperatures.TakeLast(300));
        Assert.Equal(rows.Select(row => row.Detector).TakeLast(300), Values(broker, "detector").TakeLast(300));
        Assert.InRange(temperatures.Length, 400, 416);
        Assert.Equal([1, 0], Values(broker, "flame"));
    }

    [Theory(Timeout = 30000)]
    [InlineData(true)]
    [InlineData(false)]
    public async Task A_second_detector_is_a_field_of_its_own_or_a_topic_that_comes_before_the_first(bool separate)
    {
        using var broker = new ScriptedBroker(_ => ScriptedBroker.Mishap.None);
        var rows = Rows.Take(50).Select((row, i) => i == 20 ? row : row with { Present = row.Present | RowChannels.SecondDetector, SecondDetector = 14.5 - i }).ToArray();

        await Speaker(broker, separate).SpeakAsync(rows, 20, TestContext.Current.CancellationToken);

        if (separate)
        {
            Assert.Equal(rows.Where(row => row.Has(RowChannels.SecondDetector)).Select(row => row.SecondDetector), Values(broker, "second_detector"));
            Assert.Equal(rows.Select(row => row.Detector), Values(broker, "detector"));
            Assert.Equal(["second_detector", "detector"], broker.Received.Select(message => message.Topic.Split('/')[^1]).Where(topic => topic.EndsWith("detector", StringComparison.Ordinal)).Take(2));
        }
        else
        {
            Assert.Equal(rows, broker.Received.SelectMany(message => Parse(message.Payload)));
        }
    }

    [Fact(Timeout = 30000)]
    public async Task A_broker_that_is_not_there_is_tried_until_cancelled()
    {
        int port;
        using (var broker = new ScriptedBroker(_ => ScriptedBroker.Mishap.None))
        {
            port = broker.Port;
        }

        var troubles = new List<string>();
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        var speaker = new MqttSpeaker(new() { Tester = "bench-1", Port = port }, TimeProvider.System, trouble =>
        {
            troubles.Add(trouble);
            if (troubles.Count == 2)
            {
                stop.Cancel();
            }
        });

        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => speaker.SpeakAsync(Rows, 60, stop.Token));

        Assert.Contains("Next try in 1 s", troubles[1], StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("bench/1", "127.0.0.1", 1883, "tester")]
    [InlineData("bench-1\n", "127.0.0.1", 1883, "tester")]
    [InlineData("bench-1", " ", 1883, "host")]
    [InlineData("bench-1", "127.0.0.1", 0, "port")]
    public void Options_out_of_range_are_refused_by_name(string tester, string host, int port, string path)
    {
        var options = new MqttSpeakerOptions { Tester = tester, Host = host, Port = port };

        Assert.Equal(path, Assert.Single(options.Check()).Path);
        Assert.Throws<ArgumentException>(() => new MqttSpeaker(options, TimeProvider.System));
    }

    private static MqttSpeaker Speaker(ScriptedBroker broker, bool separate, Action<string>? onTrouble = null) =>
        new(new() { Tester = "bench-1", Port = broker.Port, SeparateTopics = separate }, TimeProvider.System, onTrouble);

    private static double[] Values(ScriptedBroker broker, string channel) => broker.Received
        .Where(message => message.Topic == "acquire/bench-1/" + channel)
        .Select(message => double.Parse(message.Payload, CultureInfo.InvariantCulture))
        .ToArray();

    private static IEnumerable<ReadingRow> Parse(string payload)
    {
        using var document = JsonDocument.Parse(payload);
        foreach (var row in document.RootElement.EnumerateArray())
        {
            var hasFlame = row.TryGetProperty("flame", out var flame);
            var hasSecond = row.TryGetProperty("second_detector", out var second);
            yield return new(
                row.GetProperty("time_s").GetDouble(),
                RowChannels.Temperature | RowChannels.Detector | (hasFlame ? RowChannels.Flame : 0) | (hasSecond ? RowChannels.SecondDetector : 0),
                row.GetProperty("temperature_c").GetDouble(),
                row.GetProperty("detector").GetDouble(),
                hasFlame && flame.GetInt32() == 1)
            {
                SecondDetector = hasSecond ? second.GetDouble() : 0,
            };
        }
    }
}
