using Acquire.Core.Readings;
using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>Judges a recorded run with the supervisor that runs live.</summary>
public static class RunReplay
{
    /// <summary>Feeds all rows and ends the run with the last of them.</summary>
    /// <param name="plan">What was fixed before heating.</param>
    /// <param name="rows">The record, in order.</param>
    /// <param name="outputs">Receives every fact; may be null.</param>
    /// <returns>The result.</returns>
    public static RunResult Run(RunPlan plan, IEnumerable<ReadingRow> rows, List<RunOutput>? outputs = null)
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
