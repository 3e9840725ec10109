using Acquire.Core.Control;
using Acquire.Service.Lanes.Driving;
using MQTTnet;
using MQTTnet.Protocol;

namespace Acquire.Service.Sources.Mqtt;

/// <summary>The topic on which one driven tester is commanded.</summary>
/// <param name="TesterId">The tester.</param>
/// <param name="Topic">Its topic, without wildcards.</param>
/// <param name="Outlet">Where its commands come from.</param>
public sealed record DriveChannel(string TesterId, string Topic, DriveOutlet Outlet)
{
    /// <summary>A broker keeps no command longer than this, s: what it said is over.</summary>
    public const uint ExpirySeconds = 2;

    /// <summary>A command as a message: at most once, never retained. A late or repeated command is worse than a lost one.</summary>
    public MqttApplicationMessage Message(DriveCommand command) => new MqttApplicationMessageBuilder()
        .WithTopic(Topic)
        .WithPayload(DriveText.ToJson(command))
        .WithContentType("application/json")
        .WithQualityOfServiceLevel(MqttQualityOfServiceLevel.AtMostOnce)
        .WithRetainFlag(false)
        .WithMessageExpiryInterval(ExpirySeconds)
        .Build();

    /// <summary>Publishes each newest command until cancelled. A command that cannot be published is passed over: the next holds all it said.</summary>
    /// <param name="publishAsync">Publishes one message.</param>
    /// <param name="failed">Told the first failure after a success.</param>
    /// <param name="cancellationToken">Ends it.</param>
    internal async Task RunAsync(Func<MqttApplicationMessage, CancellationToken, Task> publishAsync, Action<Exception> failed, CancellationToken cancellationToken)
    {
        for (var hasFailed = false; !cancellationToken.IsCancellationRequested;)
        {
            try
            {
                var command = await Outlet.NextAsync(cancellationToken).ConfigureAwait(false);
                await publishAsync(Message(command), cancellationToken).ConfigureAwait(false);
                hasFailed = false;
            }
            catch (OperationCanceledException) when (cancellationToken.IsCancellationRequested)
            {
                return;
            }
#pragma warning disable CA1031 // Sockets and the library throw many kinds; whether the connection is lost is found out elsewhere.
            catch (Exception exception)
#pragma warning restore CA1031
            {
                if (!hasFailed)
                {
                    failed(exception);
                }

                hasFailed = true;
            }
        }
    }

    /// <summary>Publishes the last commands, heater off. Never throws.</summary>
    /// <inheritdoc cref="RunAsync" path="/param"/>
    internal async Task EndAsync(Func<MqttApplicationMessage, CancellationToken, Task> publishAsync, Action<Exception> failed, CancellationToken cancellationToken)
    {
        try
        {
            foreach (var command in Outlet.End())
            {
                await publishAsync(Message(command), cancellationToken).WaitAsync(cancellationToken).ConfigureAwait(false);
            }
        }
#pragma warning disable CA1031 // As above; the tester cuts its heater by itself when the lifetime of the newest command is over.
        catch (Exception exception)
#pragma warning restore CA1031
        {
            failed(exception);
        }
    }
}
