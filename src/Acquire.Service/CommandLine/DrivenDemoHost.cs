using Acquire.Service.Configuration;
using Acquire.Service.Lanes;
using Acquire.Simulator;

namespace Acquire.Service.CommandLine;

/// <summary>Lets the driven tester of the demonstration live, and puts a fresh test portion into it when a run is over.</summary>
internal sealed partial class DrivenDemoHost(AcquireConfig config, LaneSet lanes, double speed, ulong seed, ILogger<DrivenDemoHost> logger) : BackgroundService
{
    private static readonly TimeSpan Look = TimeSpan.FromSeconds(1);

    // What a person sees of the cooling before the cup is taken away, and how warm a cup is one that was heated.
    private const double RestSeconds = 15, HeatedByCelsius = 3;

    private readonly DemoTester _tester = DemoLaboratory.Driven;

    /// <summary>How fast the driven tester is in a demonstration of a given speed.</summary>
    public static double Speed(double demonstration) => Math.Min(demonstration, DemoLaboratory.FastestDriven);

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        var broker = (MqttConfig.Embedded)config.Mqtt;
        var talk = new DrivenTalk(new DrivenTester(DrivenOptions.For(_tester.Options(0, seed))), Speed(speed), TimeProvider.System);
        var wire = new MqttDrivenTester(new() { Tester = _tester.Id, Host = broker.Address.ToString(), Port = broker.Port }, TimeProvider.System, text => Log.Trouble(logger, _tester.Id, text));
        try
        {
            await Task.WhenAll(wire.RunAsync(talk, stoppingToken), ServeAsync(talk, stoppingToken)).ConfigureAwait(false);
        }
        catch (OperationCanceledException) when (stoppingToken.IsCancellationRequested)
        {
            // The service stops.
        }
    }

    /// <summary>The person at the bench: empties the hot cup some time after a run, and fills in what is next.</summary>
    private async Task ServeAsync(DrivenTalk talk, CancellationToken cancellationToken)
    {
        using var timer = new PeriodicTimer(Look, TimeProvider.System);
        var round = 0;
        for (var rested = 0.0; await timer.WaitForNextTickAsync(cancellationToken).ConfigureAwait(false); rested += Look.TotalSeconds)
        {
            if (lanes.Find(_tester.Id)?.Overview() is { Run: { ClosedAt: null, Interrupted: false } } or { Drive.On: true } || !IsHot(talk))
            {
                rested = 0;
            }
            else if (rested >= RestSeconds)
            {
                round++;
                var next = _tester.Options(round, seed);
                talk.Look(tester =>
                {
                    tester.Refill(next);
                    return true;
                });
                Log.Refilled(logger, _tester.Id, round + 1);
            }
        }
    }

    private static bool IsHot(DrivenTalk talk) =>
        talk.Look(tester => tester.Cup.SpecimenCelsius > tester.Options.Run.AmbientCelsius + HeatedByCelsius);

    private static partial class Log
    {
        [LoggerMessage(5010, LogLevel.Warning, "Simulated tester {Tester}: {Text}")]
        public static partial void Trouble(ILogger logger, string tester, string text);

        [LoggerMessage(5011, LogLevel.Information, "Simulated tester {Tester}: cup emptied, test portion {Number} is in it")]
        public static partial void Refilled(ILogger logger, string tester, int number);
    }
}
