using System.Buffers;
using System.Globalization;
using MQTTnet;
using MQTTnet.Protocol;

namespace Acquire.Simulator;

/// <summary>A driven tester behind a broker: publishes its readings with quality of service 1, and hears commands on acquire/{tester}/drive with 0, for an old command is worse than none.</summary>
/// <remarks>A broker that is lost is looked for again; meanwhile the tester lives on, cuts its heater when the lifetime is over, and what it read is lost.</remarks>
public sealed class MqttDrivenTester
{
    private readonly MqttSpeakerOptions options;
    private readonly TimeProvider time;
    private readonly Action<string>? onTrouble;

    /// <summary>A tester that connects when it begins to talk.</summary>
    /// <param name="options">Where to; <see cref="MqttSpeakerOptions.IsDriven"/> is taken as set.</param>
    /// <param name="time">Paces the tester.</param>
    /// <param name="onTrouble">Told in words when the broker cannot be reached or refuses, and when it is tried again.</param>
    /// <exception cref="ArgumentException">An option is out of range; <see cref="MqttSpeakerOptions.Check"/> says which without throwing.</exception>
    public MqttDrivenTester(MqttSpeakerOptions options, TimeProvider time, Action<string>? onTrouble = null)
    {
        ArgumentNullException.ThrowIfNull(options);
        this.options = options with { IsDriven = true };
        this.time = time;
        this.onTrouble = onTrouble;
        var errors = this.options.Check();
        if (errors.Count > 0)
        {
            throw new ArgumentException(string.Join("; ", errors), nameof(options));
        }
    }

    /// <summary>Talks until cancelled.</summary>
    public async Task RunAsync(DrivenTalk talk, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(talk);
        using var ending = CancellationTokenSource.CreateLinkedTokenSource(cancellationToken);
        var living = talk.LiveAsync(ending.Token);
        try
        {
            await ConnectAgainAndAgainAsync(talk, ending.Token);
        }
        finally
        {
            await ending.CancelAsync();
            await living.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    private async Task ConnectAgainAndAgainAsync(DrivenTalk talk, CancellationToken cancellationToken)
    {
        var backoff = new Backoff(time);
        while (true)
        {
            try
            {
                using var client = new MqttClientFactory().CreateMqttClient();
                await ConnectAsync(client, talk, cancellationToken);
                backoff.Reset();
                await SpeakAsync(client, talk, cancellationToken);
            }
            catch (Exception failure) when (MqttSpeaker.IsOfTheWire(failure))
            {
                cancellationToken.ThrowIfCancellationRequested();
                onTrouble?.Invoke(string.Create(CultureInfo.InvariantCulture, $"broker {options.Host}:{options.Port}: {failure.Message} Next try in {backoff.NextSeconds} s."));
            }

            await backoff.WaitAsync(cancellationToken);
        }
    }

    private async Task ConnectAsync(IMqttClient client, DrivenTalk talk, CancellationToken cancellationToken)
    {
        client.ApplicationMessageReceivedAsync += message =>
        {
            // Nobody may keep a wish for heat at the broker: a retained command is from a past that is over.
            if (message.ApplicationMessage.Retain)
            {
                talk.HearNoise();
            }
            else
            {
                talk.HearJson(message.ApplicationMessage.Payload.ToArray());
            }

            return Task.CompletedTask;
        };
        var connected = await client.ConnectAsync(MqttSpeaker.ClientOptions(options), cancellationToken);
        if (connected.ResultCode != MqttClientConnectResultCode.Success)
        {
            throw new IOException($"refused the connection ({connected.ResultCode}).");
        }

        var topic = new MqttTopicFilterBuilder().WithTopic($"acquire/{options.Tester}/drive").WithQualityOfServiceLevel(MqttQualityOfServiceLevel.AtMostOnce).Build();
        await client.SubscribeAsync(new MqttClientSubscribeOptionsBuilder().WithTopicFilter(topic).Build(), cancellationToken);
        talk.Forget();
    }

    private async Task SpeakAsync(IMqttClient client, DrivenTalk talk, CancellationToken cancellationToken)
    {
        var encoder = new MqttEncoder(options);
        while (true)
        {
            foreach (var message in encoder.Encode(await talk.NextAsync(cancellationToken)))
            {
                var result = await client.PublishAsync(message, cancellationToken);
                if (!result.IsSuccess)
                {
                    throw new IOException($"refused a message ({result.ReasonCode}).");
                }
            }
        }
    }
}
