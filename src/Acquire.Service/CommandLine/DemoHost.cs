using Acquire.Core.Methods;
using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Service.Lanes.Starting;
using Acquire.Service.Live;
using Acquire.Simulator;

namespace Acquire.Service.CommandLine;

/// <summary>Lets the simulated testers speak, and begins a run at the start of each round as a person would.</summary>
internal sealed partial class DemoHost(AcquireConfig config, IReadOnlyList<DemoTester> testers, DemoWire wire, LaneSet lanes, double speed, ulong seed, ILogger<DemoHost> logger) : BackgroundService
{
    private const double SettledSeconds = 10;

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        try
        {
            await Task.WhenAll(testers.Select((tester, index) => SpeakAsync(tester, index, stoppingToken))).ConfigureAwait(false);
        }
        catch (OperationCanceledException) when (stoppingToken.IsCancellationRequested)
        {
            // The service stops.
        }
    }

    private async Task SpeakAsync(DemoTester tester, int index, CancellationToken cancellationToken)
    {
        var speaker = Speaker(tester, index);
        var looping = new LoopingTester(tester, seed, round => _ = BeginAsync(tester, round, cancellationToken));
        await looping.RunAsync(speaker, Pace(tester), cancellationToken).ConfigureAwait(false);
    }

    private double Pace(DemoTester tester) => Math.Min(speed, tester.FastestSpeed);

    private ISpeaker Speaker(DemoTester tester, int index)
    {
        void Trouble(string text) => Log.Trouble(logger, tester.Id, text);
        if (index == 0 && wire.Terminal is { } terminal)
        {
            return SerialSpeaker.OnPseudoTerminal(terminal, TimeProvider.System, Trouble, tester.Thermometer);
        }

        var broker = (MqttConfig.Embedded)config.Mqtt;
        var options = new MqttSpeakerOptions { Tester = tester.Id, Host = broker.Address.ToString(), Port = broker.Port, Chain = tester.Thermometer };
        return new MqttSpeaker(options, TimeProvider.System, Trouble);
    }

    // Nobody awaits it: whatever goes wrong is written down here or nowhere.
    private async Task BeginAsync(DemoTester tester, DemoRound round, CancellationToken cancellationToken)
    {
        try
        {
            // The thermometer first settles in the fresh test portion; a person waits for that too.
            var rest = Math.Max(0, round.Run.Options.LeadInSeconds - SettledSeconds);
            await Task.Delay(TimeSpan.FromSeconds(rest / Pace(tester)), TimeProvider.System, cancellationToken).ConfigureAwait(false);
            var request = new StartRunRequest(tester.MethodId, tester.ExpectedFlashCelsius, tester.StationPressureKilopascals, tester.Specimen);
            if (!RunOrderRules.TryMake(request, new(tester.HasFlameSignal, null), MethodSet.Embedded, out var order, out var errors))
            {
                Log.Trouble(logger, tester.Id, string.Join("; ", errors));
                return;
            }

            var lane = lanes.Find(tester.Id)!;
            if (lane.Overview().Run is { ClosedAt: null, Interrupted: false } open)
            {
                await lane.StopAsync(open.Id, cancellationToken).ConfigureAwait(false);
            }

            var answer = await lane.StartAsync(order, cancellationToken).ConfigureAwait(false);
            if (answer.Outcome != CommandOutcome.Done)
            {
                Log.Trouble(logger, tester.Id, $"round {round.Number} did not begin: {answer.Text}");
            }
        }
        catch (OperationCanceledException) when (cancellationToken.IsCancellationRequested)
        {
            // The service stops.
        }
        catch (Exception exception)
        {
            Log.NotBegun(logger, exception, tester.Id, round.Number);
        }
    }

    private static partial class Log
    {
        [LoggerMessage(5000, LogLevel.Warning, "Simulated tester {Tester}: {Text}")]
        public static partial void Trouble(ILogger logger, string tester, string text);

        [LoggerMessage(5001, LogLevel.Error, "Simulated tester {Tester}: round {Round} did not begin because of a mistake in this program")]
        public static partial void NotBegun(ILogger logger, Exception exception, string tester, int round);
    }
}
