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

    /// <summary>The same for a guided run: puts each observation, and each that was taken back, where it was made among the rows.</summary>
    /// <param name="plan">What was fixed before heating.</param>
    /// <param name="rows">The record, in order, as it came from the tester.</param>
    /// <param name="entries">What the person entered, in order.</param>
    /// <param name="outputs">Receives every fact; may be null.</param>
    /// <returns>The result.</returns>
    public static RunResult Run(RunPlan plan, IEnumerable<ReadingRow> rows, IReadOnlyList<PersonEntry> entries, List<RunOutput>? outputs = null)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(rows);
        var thermometer = new ThermometerReader(plan.Thermometer, plan.IsEquilibrium);
        return RunAsRead(plan, rows.Select(row => thermometer.Take(row)), entries, outputs);
    }

    /// <summary>Feeds rows whose temperatures and marks stand already, and ends the run with the last of them.</summary>
    /// <param name="plan">What was fixed before heating.</param>
    /// <param name="rows">The record, in order, with the temperatures to be judged.</param>
    /// <param name="outputs">Receives every fact; may be null.</param>
    /// <returns>The result.</returns>
    public static RunResult RunAsRead(RunPlan plan, IEnumerable<ReadingRow> rows, List<RunOutput>? outputs = null) => RunAsRead(plan, rows, [], outputs);

    /// <summary>The same for a guided run.</summary>
    /// <param name="plan">What was fixed before heating.</param>
    /// <param name="rows">The record, in order, with the temperatures to be judged.</param>
    /// <param name="entries">What the person entered, in order.</param>
    /// <param name="outputs">Receives every fact; may be null.</param>
    /// <returns>The result.</returns>
    public static RunResult RunAsRead(RunPlan plan, IEnumerable<ReadingRow> rows, IReadOnlyList<PersonEntry> entries, List<RunOutput>? outputs = null)
    {
        ArgumentNullException.ThrowIfNull(rows);
        ArgumentNullException.ThrowIfNull(entries);
        outputs ??= [];
        var state = RunSupervisor.Begin(plan);
        var next = 0;
        foreach (var row in rows)
        {
            // A row that is out of all time says nothing about what came before it.
            var until = Math.Abs(row.AtSeconds) > RunInput.FarthestSeconds ? double.NegativeInfinity : row.AtSeconds;
            while (next < entries.Count && (entries[next].ReadingSeconds ?? double.NegativeInfinity) < until)
            {
                RunSupervisor.Step(state, plan, entries[next++].AsInput(), outputs);
            }

            RunSupervisor.Step(state, plan, row, outputs);
        }

        for (; next < entries.Count; next++)
        {
            RunSupervisor.Step(state, plan, entries[next].AsInput(), outputs);
        }

        RunSupervisor.Step(state, plan, RunInput.Stop(state.AtSeconds), outputs);
        return state.Result!;
    }
}
