using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Service.Sources;
using Acquire.Service.Sources.Serial;
using Microsoft.Extensions.Logging.Abstractions;

namespace Acquire.Service.CommandLine.Devices;

/// <summary>Reads a port as the service would, for a person who looks at it.</summary>
internal static class PortSession
{
    private const int Capacity = 4096;

    /// <summary>Reads until the time is over, or somebody says enough, or cancelled. Never throws for what the port does.</summary>
    /// <param name="source">The port.</param>
    /// <param name="tap">Told what goes over it.</param>
    /// <param name="seconds">How long; null for ever.</param>
    /// <param name="enough">Ends it when it completes.</param>
    /// <param name="time">Clock.</param>
    /// <param name="cancellationToken">Ends it.</param>
    public static async Task RunAsync(SourceConfig.Serial source, WireTap tap, double? seconds, Task enough, TimeProvider time, CancellationToken cancellationToken)
    {
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(cancellationToken);
        var inbox = new LaneInbox("port", Capacity, time);
        var reading = new SerialSource(source, inbox, time, NullLogger<SerialSource>.Instance, tap: tap).RunAsync(stop.Token);
        var emptying = EmptyAsync(inbox, stop.Token);
        var waiting = Task.Delay(seconds is { } given ? TimeSpan.FromSeconds(given) : Timeout.InfiniteTimeSpan, time, stop.Token);
        await Task.WhenAny(waiting, enough).ConfigureAwait(false);
        await stop.CancelAsync().ConfigureAwait(false);
        await reading.ConfigureAwait(false);
        await emptying.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
    }

    // The rows were shown when their lines came; a full queue would hold the wire back.
    internal static async Task EmptyAsync(LaneInbox inbox, CancellationToken cancellationToken)
    {
        while (await inbox.Rows.WaitToReadAsync(cancellationToken).ConfigureAwait(false))
        {
            while (inbox.Rows.TryRead(out _))
            {
            }
        }
    }
}
