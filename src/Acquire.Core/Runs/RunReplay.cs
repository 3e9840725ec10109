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
    public static RunResult Run(RunPlan plan, IEnumerable<ReadingRow> rows, List<RunOutput>? outputs = null)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(rows);
        var thermometer = new ThermometerReader(plan.Thermometer);
        return RunAsRead(plan, rows.Select(row => thermometer.Take(row)), outputs);
    }

    /// <summary>Feeds rows whose temperatures and marks stand already, and ends the run with the last of them.</summary>
    /// <param name="plan">What was fixed before heating.</param>
    /// <param name="rows">The record, in order, with the temperatures to be judged.</param>
    /// <param name="outputs">Receives every fact; may be null.</param>
    /// <returns>The result.</returns>
    public static RunResult RunAsRead(RunPlan plan, IEnumerable<ReadingRow> rows, List<RunOutput>? outputs = null)
    {
        ArgumentNullException.ThrowIfNull(rows);
        outputs ??= [];
        var state = RunSupervisor.Begin(plan);
        foreach (var row in rows)
        {
            RunSupervisor.Step(state, plan, row, outputs);
        }

        RunSupervisor.Step(state, plan, RunInput.Stop(state.AtSeconds), outputs);
        return state.Result!;
    }
}
