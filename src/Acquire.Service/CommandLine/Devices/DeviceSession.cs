using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Service.Sources;
using Microsoft.Extensions.Logging.Abstractions;

namespace Acquire.Service.CommandLine.Devices;

/// <summary>Reads a wire of any kind as the service would, for a person who looks at it.</summary>
internal static class DeviceSession
{
    private const int Capacity = 4096;
    private const string Id = "watched";

    /// <summary>Reads until the time is over, or somebody says enough, or cancelled.</summary>
    /// <param name="chosen">The wire.</param>
    /// <param name="tap">Told what goes over it.</param>
    /// <param name="seconds">How long; null for ever.</param>
    /// <param name="enough">Ends it when it completes.</param>
    /// <param name="time">Clock.</param>
    /// <param name="cancellationToken">Ends it.</param>
    public static async Task RunAsync(ChosenPort chosen, WireTap tap, double? seconds, Task enough, TimeProvider time, CancellationToken cancellationToken)
    {
        if (chosen.Source is SourceConfig.Serial serial)
        {
            await PortSession.RunAsync(serial, tap, seconds, enough, time, cancellationToken).ConfigureAwait(false);
            return;
        }

        using var stop = CancellationTokenSource.CreateLinkedTokenSource(cancellationToken);
        var inbox = new LaneInbox(Id, Capacity, time);
        var config = new AcquireConfig { Listen = new("http://127.0.0.1"), DataDirectory = "", Mqtt = Visiting(chosen.Mqtt), Ambient = [new() { Id = Id, Name = Id, StaleAfterSeconds = 60, Source = chosen.Source }], Testers = [] };
        using var host = new SourceHost(config, new Dictionary<string, LaneInbox> { [Id] = inbox }, time, NullLoggerFactory.Instance, taps: new Dictionary<string, WireTap> { [Id] = tap });
        var emptying = PortSession.EmptyAsync(inbox, stop.Token);
        try
        {
            await host.StartAsync(stop.Token).ConfigureAwait(false);
            var waiting = Task.Delay(seconds is { } given ? TimeSpan.FromSeconds(given) : Timeout.InfiniteTimeSpan, time, stop.Token);
            await Task.WhenAny(waiting, enough).ConfigureAwait(false);
        }
        catch (OperationCanceledException) when (cancellationToken.IsCancellationRequested)
        {
        }

        await host.StopAsync(CancellationToken.None).ConfigureAwait(false);
        await stop.CancelAsync().ConfigureAwait(false);
        await emptying.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
    }

    // Beside the service, under a name of its own: what a broker keeps for the service stays the service's.
    private static MqttConfig Visiting(MqttConfig mqtt) => mqtt is MqttConfig.External { Connection: var broker }
        ? new MqttConfig.External(broker with { ClientId = $"acquire-watch-{Guid.NewGuid():N}"[..23], KeepsSession = false, StatusTopic = null })
        : mqtt;
}
