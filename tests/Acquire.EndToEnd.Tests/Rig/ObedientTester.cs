using System.Diagnostics;
using System.Text.Json;
using Acquire.Core;
using Acquire.Core.Control;
using MQTTnet;
using MQTTnet.Exceptions;
using MQTTnet.Protocol;
using Xunit;

namespace Acquire.EndToEnd.Tests.Rig;

/// <summary>A tester on the broker that gives the power it is told, acknowledges, and warms a little; nothing burns.</summary>
/// <remarks>As a real one it forgets a command when its lifetime is over.</remarks>
internal sealed class ObedientTester : IAsyncDisposable
{
    private static readonly TimeSpan Period = TimeSpan.FromMilliseconds(100);

    private readonly IMqttClient _client = new MqttClientFactory().CreateMqttClient();
    private readonly CancellationTokenSource _stop = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
    private readonly Stopwatch _clock = Stopwatch.StartNew();
    private readonly string _id;
    private DriveCommand? _command;
    private double _commandAtSeconds;
    private double _celsius = 60;
    private Task _speaking = Task.CompletedTask;

    private ObedientTester(string id) => _id = id;

    /// <summary>Set while no reading of the thermometer is to come: all others go on.</summary>
    public bool ThermometerSilent { get; set; }

    /// <summary>Connects and speaks ten times a second until disposed.</summary>
    public static async Task<ObedientTester> StartAsync(string id, int port)
    {
        var tester = new ObedientTester(id);
        tester._client.ApplicationMessageReceivedAsync += tester.HearAsync;
        await tester._client.ConnectAsync(new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", port).WithTimeout(TimeSpan.FromSeconds(60)).Build(), tester._stop.Token);
        await tester._client.SubscribeAsync($"acquire/{id}/drive", MqttQualityOfServiceLevel.AtMostOnce, tester._stop.Token);
        tester._speaking = tester.SpeakAsync();
        return tester;
    }

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        try
        {
            await _speaking;
        }
        catch (Exception exception) when (exception is OperationCanceledException or MqttCommunicationTimedOutException)
        {
            // It was told to stop.
        }

        _client.Dispose();
        _stop.Dispose();
    }

    private Task HearAsync(MqttApplicationMessageReceivedEventArgs heard)
    {
        if (DriveText.TryParseJson(System.Buffers.BuffersExtensions.ToArray(heard.ApplicationMessage.Payload), out var command, out InputError? _) && command.Sequence > (_command?.Sequence ?? 0))
        {
            (_command, _commandAtSeconds) = (command, _clock.Elapsed.TotalSeconds);
        }

        return Task.CompletedTask;
    }

    private async Task SpeakAsync()
    {
        while (!_stop.IsCancellationRequested)
        {
            var now = _clock.Elapsed.TotalSeconds;
            var obeyed = _command is { } command && now - _commandAtSeconds < command.LifetimeMilliseconds / 1000.0 ? command : null;
            var power = obeyed?.HeaterFraction ?? 0;
            _celsius += power * 0.03;
            var row = new Dictionary<string, object?>
            {
                ["time_s"] = Math.Round(now, 3),
                ["temperature_c"] = ThermometerSilent ? null : Math.Round(_celsius, 3),
                ["detector"] = 0.2,
                ["flame"] = obeyed?.FlameOver == true ? 1 : 0,
                ["heater"] = power,
                ["command"] = obeyed?.Sequence,
            };
            await _client.PublishAsync(
                new MqttApplicationMessageBuilder().WithTopic($"acquire/{_id}/readings").WithPayload(JsonSerializer.SerializeToUtf8Bytes(row.Where(field => field.Value is not null).ToDictionary())).WithQualityOfServiceLevel(MqttQualityOfServiceLevel.AtLeastOnce).Build(), _stop.Token);
            await Task.Delay(Period, TimeProvider.System, _stop.Token);
        }
    }
}
