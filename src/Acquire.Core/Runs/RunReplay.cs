using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Thermometry;

namespace Acquire.Core.Runs;

/// <summary>Judges a recorded run with the supervisor that runs live.</summary>
public static class RunReplay
{
    /// <summary>Makes temperatures of the signals by the plan's chain, feeds all rows and ends the run with the last of them.</summary>
    /// <param name="plan">What was fixed before heating.</param>
    /// <param name="rows">The record, in order, as it came from the tester.</param>
    /// <param name="outputs">Receives every fact; may be null.</param>
    /// <returns>The result.</returns>
    public static RunResult Run(RunPlan plan, IEnumerable<ReadingRow> rows, List<RunOutput>? outputs = null) => Run(plan, rows, [], outputs);

    /// <summary>The same for a guided run: puts each observation where it was made among the rows.</summary>
    /// <param name="plan">What was fixed before heating.</param>
    /// <param name="rows">The record, in order, as it came from the tester.</param>
    /// <param name="observations">What the person recorded, in order.</param>
    /// <param name="outputs">Receives every fact; may be null.</param>
    /// <returns>The result.</returns>
    public static RunResult Run(RunPlan plan, IEnumerable<ReadingRow> rows, IReadOnlyList<ObservationMade> observations, List<RunOutput>? outputs = null)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(rows);
        var thermometer = new ThermometerReader(plan.Thermometer);
        return RunAsRead(plan, rows.Select(row => thermometer.Take(row)), observations, outputs);
    }

    /// <summary>Feeds rows whose temperatures and marks stand already, and ends the run with the last of them.</summary>
    /// <param name="plan">What was fixed before heating.</param>
    /// <param name="rows">The record, in order, with the temperatures to be judged.</param>
    /// <param name="outputs">Receives every fact; may be null.</param>
    /// <returns>The result.</returns>
    public static RunResult RunAsRead(RunPlan plan, IEnumerable<ReadingRow> rows, List<RunOutput>? outputs = null) => RunAsRead(plan, rows, [], outputs);

    private static RunResult RunAsRead(RunPlan plan, IEnumerable<ReadingRow> rows, IReadOnlyList<ObservationMade> observations, List<RunOutput>? outputs)
    {
        ArgumentNullException.ThrowIfNull(rows);
        ArgumentNullException.ThrowIfNull(observations);
        outputs ??= [];
        var state = RunSupervisor.Begin(plan);
        var next = 0;
        foreach (var row in rows)
        {
            // A row that is out of all time says nothing about what came before it.
            var until = Math.Abs(row.AtSeconds) > RunInput.FarthestSeconds ? double.NegativeInfinity : row.AtSeconds;
            while (next < observations.Count && (observations[next].ReadingSeconds ?? double.NegativeInfinity) < until)
            {
                Observe(state, plan, observations[next++], outputs);
            }

            RunSupervisor.Step(state, plan, row, outputs);
        }

        for (; next < observations.Count; next++)
        {
            Observe(state, plan, observations[next], outputs);
        }

        RunSupervisor.Step(state, plan, RunInput.Stop(state.AtSeconds), outputs);
        return state.Result!;
    }

    private static void Observe(RunState state, RunPlan plan, ObservationMade made, List<RunOutput> outputs) =>
        RunSupervisor.Step(state, plan, RunInput.Observation(made.AtSeconds, made.Seen), outputs);
}
