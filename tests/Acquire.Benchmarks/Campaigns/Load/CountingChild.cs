using System.Globalization;
using MQTTnet;
using MQTTnet.Server;

namespace Acquire.Benchmarks.Campaigns.Load;

/// <summary>What the full path is held against, in a process of its own: counts messages and says the number ten times a second.</summary>
internal static class CountingChild
{
    /// <summary>A bare broker that counts what is published to it; no subscriber.</summary>
    public const string Broker = "load-count-broker";

    /// <summary>A bare broker, and a client beside it that subscribes and counts.</summary>
    public const string BrokerAndSubscriber = "load-count-broker-subscriber";

    /// <summary>A client that subscribes at a broker elsewhere and counts.</summary>
    public const string Subscriber = "load-count-subscriber";

    private static long _count;

    /// <summary>Counts until it is killed.</summary>
    public static async Task<int> RunAsync(string what, int port)
    {
        using var server = what == Subscriber ? null : new MqttServerFactory().CreateMqttServer(new MqttServerOptionsBuilder().WithDefaultEndpoint().WithDefaultEndpointPort(port).WithDefaultEndpointBoundIPAddress(System.Net.IPAddress.Loopback).WithMaxPendingMessagesPerClient(int.MaxValue).Build());
        if (server is not null)
        {
            if (what == Broker)
            {
                server.InterceptingPublishAsync += _ => Count();
            }

            await server.StartAsync();
        }

        using var client = new MqttClientFactory().CreateMqttClient();
        if (what != Broker)
        {
            client.ApplicationMessageReceivedAsync += _ => Count();
            await client.ConnectAsync(new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", port).WithClientId("counter").Build());
            await client.SubscribeAsync("bare/#");
        }

        using var timer = new PeriodicTimer(TimeSpan.FromMilliseconds(100));
        while (await timer.WaitForNextTickAsync())
        {
            await Console.Out.WriteLineAsync(Interlocked.Read(ref _count).ToString(CultureInfo.InvariantCulture));
        }

        return 0;
    }

    private static Task Count()
    {
        Interlocked.Increment(ref _count);
        return Task.CompletedTask;
    }
}
