using Acquire.Core.Readings;
using Acquire.Core.Thermometry;

namespace Acquire.Simulator;

/// <summary>A demonstration tester that never stops: run, cooling, fresh test portion, rest, next run. Its clock runs on through all rounds.</summary>
public sealed class LoopingTester
{
    private readonly DemoTester tester;
    private readonly ulong seed;
    private readonly Action<DemoRound>? onRound;

    /// <summary>A tester that begins with round 0.</summary>
    /// <param name="tester">Which of the laboratory's testers.</param>
    /// <param name="seed">Picks the specimens' scatter and the noise of all rounds.</param>
    /// <param name="onRound">Told when a round begins, before its first row is said; a good moment to begin a run in the service.</param>
    public LoopingTester(DemoTester tester, ulong seed, Action<DemoRound>? onRound = null)
    {
        this.tester = tester;
        this.seed = seed;
        this.onRound = onRound;
    }

    /// <summary>Speaks round after round until cancelled.</summary>
    public Task RunAsync(ISpeaker speaker, double speed, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(speaker);
        return speaker.SpeakAsync(Rows(), speed, cancellationToken);
    }

    /// <summary>The rows of all rounds on one axis of time; without end.</summary>
    public IEnumerable<ReadingRow> Rows()
    {
        var offset = 0.0;
        double? thermometer = null;
        double? junction = null;
        for (var round = 0; ; round++)
        {
            var run = new SimulatedRun(tester.Options(round, seed) with { ThermometerStartCelsius = thermometer, JunctionStartCelsius = junction });
            onRound?.Invoke(new(round, offset, run));
            foreach (var row in run)
            {
                thermometer = row.Has(RowChannels.Temperature) ? row.TemperatureCelsius : run.ThermometerAt(row.AtSeconds);
                yield return row with { AtSeconds = Math.Round(row.AtSeconds + offset, 4) };
            }

            junction = run.Options.Thermometer.Chain.Sensor is ThermocoupleSensor ? run.JunctionAt(run.Truth.EndSeconds) : null;

            offset = Math.Ceiling(offset + run.Truth.EndSeconds + (1 / run.Options.RowsPerSecond));
        }
    }
}

/// <summary>One round of a demonstration tester.</summary>
/// <param name="Number">From 0.</param>
/// <param name="StartsAtSeconds">Where the run's own 0 s lies on the tester's clock, s.</param>
/// <param name="Run">The run, with its truth.</param>
public sealed record DemoRound(int Number, double StartsAtSeconds, SimulatedRun Run);
