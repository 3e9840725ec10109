using System.Globalization;
using System.Net.Sockets;
using Acquire.Core.Readings;
using MQTTnet;
using MQTTnet.Exceptions;
using MQTTnet.Formatter;

namespace Acquire.Simulator;

/// <summary>Publishes to a broker with MQTT 5, quality of service 1, and goes on only when a message was acknowledged.</summary>
/// <remarks>A message whose acknowledgement was lost with the connection is published again: a listener may meet rows twice, never a gap.</remarks>
public sealed class MqttSpeaker : ISpeaker
{
    // Brokers announce how many unacknowledged messages they take; 20 is a common limit and this stays below it.
    private const int MostUnacknowledged = 16;

    private readonly MqttSpeakerOptions options;
    private readonly TimeProvider time;
    private readonly Action<string>? onTrouble;

    /// <summary>A speaker that connects when it begins to speak.</summary>
    /// <param name="options">Where and how to publish.</param>
    /// <param name="time">Paces the rows.</param>
    /// <param name="onTrouble">Told in words when the broker cannot be reached or refuses, and when it is tried again.</param>
    /// <exception cref="ArgumentException">An option is out of range; <see cref="MqttSpeakerOptions.Check"/> says which without throwing.</exception>
    public MqttSpeaker(MqttSpeakerOptions options, TimeProvider time, Action<string>? onTrouble = null)
    {
        ArgumentNullException.ThrowIfNull(options);
        var errors = options.Check();
        if (errors.Count > 0)
        {
            throw new ArgumentException(string.Join("; ", errors), nameof(options));
        }

        this.options = options;
        this.time = time;
        this.onTrouble = onTrouble;
    }

    /// <inheritdoc/>
    public async Task SpeakAsync(IEnumerable<ReadingRow> rows, double speed, CancellationToken cancellationToken)
    {
        SpeakingSpeed.Require(speed);
        var encoder = new MqttEncoder(options);
        using var client = new MqttClientFactory().CreateMqttClient();
        await foreach (var batch in new Pacer(time).BatchesAsync(rows, speed, cancellationToken))
        {
            await PublishAsync(client, encoder.Encode(batch), cancellationToken);
        }

        if (client.IsConnected)
        {
            await client.DisconnectAsync(new MqttClientDisconnectOptions(), cancellationToken);
        }
    }

    private async Task PublishAsync(IMqttClient client, IReadOnlyList<MqttApplicationMessage> messages, CancellationToken cancellationToken)
    {
        var backoff = new Backoff(time);
        for (var done = 0; done < messages.Count;)
        {
            var before = done;
            (done, var trouble) = await TryAsync(client, messages, done, cancellationToken);
            if (trouble is null)
            {
                return;
            }

            if (done > before)
            {
                backoff.Reset();
            }

            onTrouble?.Invoke(string.Create(CultureInfo.InvariantCulture, $"broker {options.Host}:{options.Port}: {trouble} Next try in {backoff.NextSeconds} s."));
            await backoff.WaitAsync(cancellationToken);
        }
    }

    /// <summary>Connects where needed and publishes from a message on; says how many are acknowledged without a hole, and what went wrong.</summary>
    private async Task<(int Done, string? Trouble)> TryAsync(IMqttClient client, IReadOnlyList<MqttApplicationMessage> messages, int done, CancellationToken cancellationToken)
    {
        var underWay = new Queue<Task<MqttClientPublishResult>>();
        try
        {
            if (await ConnectAsync(client, cancellationToken) is { } refusal)
            {
                return (done, refusal);
            }

            for (var next = done; done < messages.Count;)
            {
                while (next < messages.Count && underWay.Count < MostUnacknowledged)
                {
                    underWay.Enqueue(client.PublishAsync(messages[next++], cancellationToken));
                }

                var result = await underWay.Dequeue();
                if (!result.IsSuccess)
                {
                    await SettleAsync(underWay);
                    return (done, $"refused a message ({result.ReasonCode}).");
                }

                done++;
            }

            return (done, null);
        }
        catch (Exception failure) when (IsOfTheWire(failure))
        {
            await SettleAsync(underWay);

            // Told to stop while the wire fails: the stop is what the caller waits for.
            cancellationToken.ThrowIfCancellationRequested();
            return (done, failure.Message);
        }
    }

    private async Task<string?> ConnectAsync(IMqttClient client, CancellationToken cancellationToken)
    {
        if (client.IsConnected)
        {
            return null;
        }

        var connected = await client.ConnectAsync(ClientOptions(options), cancellationToken);
        return connected.ResultCode == MqttClientConnectResultCode.Success ? null : $"refused the connection ({connected.ResultCode}).";
    }

    /// <summary>Waits for what is still under way before it is published again, so that two copies never race.</summary>
    private static async Task SettleAsync(IEnumerable<Task> underWay)
    {
        foreach (var task in underWay)
        {
            await task.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    /// <summary>What the client throws when the network or the broker is at fault; its own time limit shows as a cancellation that nobody asked for.</summary>
    internal static bool IsOfTheWire(Exception failure) =>
        failure is MqttCommunicationException or MqttProtocolViolationException or SocketException or IOException or OperationCanceledException or InvalidOperationException;

    /// <summary>How a simulated tester introduces itself to a broker.</summary>
    internal static MqttClientOptions ClientOptions(MqttSpeakerOptions options) => new MqttClientOptionsBuilder()
        .WithProtocolVersion(MqttProtocolVersion.V500)
        .WithTcpServer(options.Host, options.Port)
        .WithClientId($"simulated-{options.Tester}")
        .WithCleanStart()
        .WithTimeout(TimeSpan.FromSeconds(5))
        .Build();
}
