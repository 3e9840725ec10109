using System.Net;
using System.Net.Sockets;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Service.Live;
using Acquire.Service.Sources;
using Acquire.Service.Tests.Sources.Mqtt;
using Acquire.Service.Tests.Sources.Serial;
using Microsoft.Extensions.Logging.Abstractions;
using Xunit;

namespace Acquire.Service.Tests.Sources;

public sealed class SourceHostTests
{
    [Fact(Timeout = 30000)]
    public async Task Trouble_of_one_tester_does_not_touch_another()
    {
        PtyPair.SkipWithoutSocat();
        var token = TestContext.Current.CancellationToken;
        using var pair = new PtyPair();
        await pair.PlugInAsync(token);
        using var taken = new TcpListener(IPAddress.Loopback, 0);
        taken.Start();
        var (config, inboxes) = Setup(pair.Port, ((IPEndPoint)taken.LocalEndpoint).Port);
        using var host = new SourceHost(config, inboxes, TimeProvider.System, NullLoggerFactory.Instance);

        await host.StartAsync(token);
        await SourceSamples.Until(() => inboxes["good"].Connection.State == ConnectionState.Up, "the good port", token);
        await SourceSamples.Pause(0.2, token);
        pair.Send("1.0,100.0,0.5,0\n");
        await SourceSamples.Until(() => inboxes["good"].Counters.Rows == 1, "the row of the good tester", token);
        await SourceSamples.Until(() => inboxes["missing"].Connection.State == ConnectionState.Down, "the missing port", token);

        Assert.Contains("is not there", inboxes["missing"].Connection.Text, StringComparison.Ordinal);
        Assert.StartsWith("mqtt.port:", inboxes["published"].Connection.Text, StringComparison.Ordinal);
        await host.StopAsync(token);
    }

    [Fact(Timeout = 30000)]
    public async Task Embedded_broker_takes_publishers_as_soon_as_the_start_has_ended_and_the_stop_is_quick()
    {
        var token = TestContext.Current.CancellationToken;
        var port = Mosquitto.FreePort();
        var (config, inboxes) = Setup("/dev/acquire-there-is-no-such-port", port);
        using var host = new SourceHost(config, inboxes, TimeProvider.System, NullLoggerFactory.Instance);
        await host.StartAsync(token);
        using (var publisher = await Publisher.ConnectAsync(port, token))
        {
            await publisher.SendAsync("t", "21.5", token);
        }

        var start = TimeProvider.System.GetTimestamp();
        await host.StopAsync(token);

        Assert.InRange(TimeProvider.System.GetElapsedTime(start).TotalSeconds, 0, 2);
        Assert.Equal(1, inboxes["published"].Counters.Rows);
        Assert.All(inboxes.Values, inbox => Assert.Equal(ConnectionState.Down, inbox.Connection.State));
    }

    [Fact]
    public void Tester_without_an_inbox_is_a_mistake_of_the_program()
    {
        var (config, _) = Setup("/dev/none", 1883);

        Assert.Throws<ArgumentException>(() => new SourceHost(config, new Dictionary<string, LaneInbox>(), TimeProvider.System, NullLoggerFactory.Instance));
    }

    private static (AcquireConfig Config, Dictionary<string, LaneInbox> Inboxes) Setup(string serialPort, int mqttPort)
    {
        var config = SourceSamples.Config($$"""
            {
              "mqtt": { "port": {{mqttPort}} },
              "testers": [
                { "id": "good", "source": { "kind": "serial", "port": "{{serialPort}}", {{SourceSamples.FullColumns}} } },
                { "id": "missing", "source": { "kind": "serial", "port": "/dev/acquire-there-is-no-other-port", {{SourceSamples.FullColumns}} } },
                { "id": "published", "source": { "kind": "mqtt", "topics": [ {{SourceSamples.NumberTopic("t")}} ] } }
              ]
            }
            """);
        return (config, config.Testers.ToDictionary(tester => tester.Id, tester => new LaneInbox(tester.Id, tester.QueueCapacity, TimeProvider.System)));
    }
}
