using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Service.Live;
using Acquire.Service.Sources.Mqtt;
using Microsoft.Extensions.Logging.Abstractions;

namespace Acquire.Service.Tests.Sources.Mqtt;

/// <summary>The service's end of a broker elsewhere, as its configuration says, for one tester with the topic of <see cref="Topic"/>.</summary>
internal sealed class ExternalBench : IAsyncDisposable
{
    public const string Topic = "acquire/bench-1/readings";
    private readonly CancellationTokenSource _stop = new();
    private readonly BrokerClient _client;
    private Task _running = Task.CompletedTask;

    /// <param name="port">Where the broker listens.</param>
    /// <param name="more">More keys of the section `mqtt`, each after a comma.</param>
    /// <param name="credentials">User and password before the host, with the at sign.</param>
    /// <param name="scheme">`mqtt` or `mqtts`.</param>
    /// <param name="order">The key `order` of the source after a comma; empty for none.</param>
    /// <param name="topics">The topics of the tester; null for one with JSON.</param>
    public ExternalBench(int port, string more = "", string credentials = "", string scheme = "mqtt", string order = "", string? topics = null)
    {
        var config = SourceSamples.Config($$"""
            { "mqtt": { "mode": "external", "connection": "{{scheme}}://{{credentials}}127.0.0.1:{{port}}?clientId=acquire-test" {{more}} },
              "testers": [ { "id": "bench-1", "source": { "kind": "mqtt", "topics": [ {{topics ?? SourceSamples.JsonTopic(Topic)}} ] {{order}} } } ] }
            """);
        _client = new(((MqttConfig.External)config.Mqtt).Connection, new([((SourceConfig.Mqtt)config.Testers[0].Source, Inbox)]), TimeProvider.System, NullLogger<BrokerClient>.Instance);
    }

    public LaneInbox Inbox { get; } = SourceSamples.Inbox();

    public bool IsUp => Inbox.Connection.State == ConnectionState.Up;

    public static string Row(int seconds) => $$"""{"time_s":{{seconds}},"temperature_c":100}""";

    public void Start() => _running = _client.RunAsync(_stop.Token);

    public async Task StartAsync(CancellationToken cancellationToken)
    {
        Start();
        await SourceSamples.Until(() => IsUp, "the connection", cancellationToken);
    }

    /// <summary>Waits until the connection is said to be down for a reason that begins so.</summary>
    public Task RefusedAsync(string words, CancellationToken cancellationToken) =>
        SourceSamples.Until(() => !IsUp && Inbox.Connection.Text?.Contains(words, StringComparison.Ordinal) == true, $"the refusal \"{words}\"", cancellationToken, () => Inbox.Connection.ToString());

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        await _running;
        _stop.Dispose();
    }
}
