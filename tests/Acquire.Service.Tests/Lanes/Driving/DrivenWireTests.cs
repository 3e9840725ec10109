using System.Collections.Concurrent;
using System.Globalization;
using System.Net;
using System.Net.Http.Json;
using System.Text;
using Acquire.Core.Control;
using Acquire.Core.Runs;
using Acquire.Service.Hosting;
using Acquire.Service.Lanes;
using Acquire.Service.Live;
using Acquire.Service.Sources;
using Acquire.Service.Tests.Sources;
using Acquire.Service.Tests.Sources.Serial;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;
using Xunit;

namespace Acquire.Service.Tests.Lanes.Driving;

/// <summary>The whole way in real time: a tester on a pseudo terminal, the service from its configuration on, a person at the API.</summary>
public sealed class DrivenWireTests : IDisposable
{
    private const string Person = """{"on":true,"person":"R. Halden"}""";
    private readonly PtyPair _pair = new();
    private readonly ConcurrentQueue<DriveCommand> _taken = [];

    public void Dispose() => _pair.Dispose();

    // Ten rows a second; each tells the newest command and, in per cent, the power it gives.
    private async Task SpeakAsync(CancellationToken cancelled)
    {
        for (var row = 0; !cancelled.IsCancellationRequested; row++)
        {
            var newest = _taken.LastOrDefault();
            var (command, heater) = newest is null ? ("", "0") : (newest.Sequence.ToString(CultureInfo.InvariantCulture), (newest.HeaterFraction * 100).ToString("0.#", CultureInfo.InvariantCulture));
            _pair.Send(string.Create(CultureInfo.InvariantCulture, $"{row / 10.0:0.0},{60 + (row * 0.004):0.00},0.1,{(newest is { FlameOver: true } ? 1 : 0)},{command},{heater}\n"));
            await Task.Delay(TimeSpan.FromMilliseconds(100), TimeProvider.System, cancelled).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    private string Config => $$"""
        { "testers": [ { "id": "bench-8", "mode": "driven", "drive": { "highestCelsius": 320 }, "source": { "kind": "serial", "port": "{{_pair.Port}}", "columns": [
          { "channel": "time", "unit": "s" }, { "channel": "temperature", "unit": "degC" }, { "channel": "detector" }, { "channel": "flame" }, { "channel": "command" }, { "channel": "heater", "unit": "%" } ] } } ] }
        """;

    [Fact(Timeout = 60000)]
    public async Task A_person_heats_a_cup_over_a_serial_line_and_the_end_of_the_service_turns_it_off()
    {
        PtyPair.SkipWithoutSocat();
        var token = TestContext.Current.CancellationToken;
        await _pair.PlugInAsync(token);
        _pair.Listen(line => _taken.Enqueue(DriveText.TryParseLine(Encoding.ASCII.GetBytes(line), out var command, out var error) ? command : throw new InvalidDataException($"{line}: {error}")));
        using var speaking = CancellationTokenSource.CreateLinkedTokenSource(token);
        var config = SourceSamples.Config(Config);
        await using var archive = TestTester.OpenArchive();
        await using var app = AcquireApp.Build(new()
        {
            Testers = config.Testers,
            Archive = archive,
            ListenUrl = "http://127.0.0.1:0",
            PageFolder = "none",
            LogLevel = LogLevel.Error,
            AddSources = services => services.AddHostedService(provider =>
            {
                var lanes = provider.GetRequiredService<LaneSet>();
                return new SourceHost(config, lanes.Inboxes, TimeProvider.System, provider.GetRequiredService<ILoggerFactory>(), lanes.Outlets);
            }),
        });
        await app.StartAsync(token);
        var lane = app.Services.GetRequiredService<LaneSet>().All[0];
        await SourceSamples.Until(() => lane.Overview().Connection == ConnectionState.Up, "the open port", token);
        var speech = SpeakAsync(speaking.Token);
        using var client = new HttpClient { BaseAddress = new(app.Urls.Single()) };
        using var started = await client.PostAsJsonAsync("/api/testers/bench-8/runs", TestTester.Request, LiveJson.Options, token);
        var run = (await started.Content.ReadFromJsonAsync<RunSummary>(LiveJson.Options, token))!;
        await SourceSamples.Until(() => lane.Overview().Drive!.SecondsSinceAcknowledged < 1, "the acknowledgement", token);
        Assert.All(_taken, command => Assert.True(command.IsSafe));

        using var on = await client.PostAsync(new Uri($"/api/runs/{run.Id}/heater", UriKind.Relative), new StringContent(Person, Encoding.UTF8, "application/json"), token);
        Assert.Equal(HttpStatusCode.OK, on.StatusCode);
        await SourceSamples.Until(() => lane.Overview().Drive is { AskedFraction: > 0, GivenFraction: > 0 }, "power commanded and given", token);
        await app.StopAsync(token);
        await SourceSamples.Until(() => _taken.TakeLast(3).All(command => command.IsSafe), "heater off", token);
        await speaking.CancelAsync();
        await speech;

        Assert.Equal(_taken.Select(command => command.Sequence).Order(), _taken.Select(command => command.Sequence));
        var facts = archive.ReadEvents(run.Id, 0).OfType<HeaterFact>().ToArray();
        Assert.Equal(("R. Halden", TripCodes.ServiceStopping), (Assert.IsType<HeaterTurnedOn>(facts[0]).Person, Assert.IsType<HeaterCut>(facts[^1]).Code));
        var row = archive.ReadRows(run.Id).Last();
        Assert.True(row.Command > 0 && row.HeaterFraction > 0);
    }
}
