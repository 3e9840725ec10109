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
    public static RunResult Run(RunPlan plan, IEnumerable<ReadingRow> rows, IReadOnlyList<PersonEntry> entries, List<RunOutput>? outputs = null) =>
        RunWhole(plan, rows, entries, outputs);

    /// <summary>The same for any run, by its archived facts: what a person saw, and what happened to the heater of a driven tester, goes where it was among the rows.</summary>
    /// <param name="plan">What was fixed before heating.</param>
    /// <param name="rows">The record, in order, as it came from the tester.</param>
    /// <param name="archived">The facts of the run, in order. What follows from the rows is left out and found anew.</param>
    /// <param name="outputs">Receives every fact; may be null.</param>
    /// <returns>The result.</returns>
    public static RunResult RunWhole(RunPlan plan, IEnumerable<ReadingRow> rows, IEnumerable<RunOutput> archived, List<RunOutput>? outputs = null)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(rows);
        ArgumentNullException.ThrowIfNull(archived);
        var thermometer = new ThermometerReader(plan.Thermometer, plan.IsEquilibrium);
        return Feed(plan, rows.Select(row => thermometer.Take(row)), [.. archived.Where(IsInput)], outputs);
    }

    /// <summary>Brings a run that was not closed to where its record ends, so that it can go on from there.</summary>
    /// <param name="plan">What was fixed before heating.</param>
    /// <param name="rows">The record, in order, with the temperatures to be judged.</param>
    /// <param name="archived">The facts of the run, in order. What follows from the rows is left out and found anew.</param>
    /// <param name="outputs">Receives every fact.</param>
    /// <returns>The state after the last row and the last archived fact.</returns>
    public static RunState Rebuild(RunPlan plan, IEnumerable<ReadingRow> rows, IEnumerable<RunOutput> archived, List<RunOutput> outputs)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(rows);
        ArgumentNullException.ThrowIfNull(archived);
        ArgumentNullException.ThrowIfNull(outputs);
        return Play(plan, rows, [.. archived.Where(IsInput)], outputs);
    }

    /// <summary>Feeds rows whose temperatures and marks stand already, and ends the run with the last of them.</summary>
    /// <param name="plan">What was fixed before heating.</param>
    /// <param name="rows">The record, in order, with the temperatures to be judged.</param>
    /// <param name="outputs">Receives every fact; may be null.</param>
    /// <returns>The result.</returns>
    public static RunResult RunAsRead(RunPlan plan, IEnumerable<ReadingRow> rows, List<RunOutput>? outputs = null) => Feed(plan, rows, [], outputs);

    /// <summary>The same for a guided run.</summary>
    /// <param name="plan">What was fixed before heating.</param>
    /// <param name="rows">The record, in order, with the temperatures to be judged.</param>
    /// <param name="entries">What the person entered, in order.</param>
    /// <param name="outputs">Receives every fact; may be null.</param>
    /// <returns>The result.</returns>
    public static RunResult RunAsRead(RunPlan plan, IEnumerable<ReadingRow> rows, IReadOnlyList<PersonEntry> entries, List<RunOutput>? outputs = null)
    {
        ArgumentNullException.ThrowIfNull(entries);
        return Feed(plan, rows, entries, outputs);
    }

    private static RunResult Feed(RunPlan plan, IEnumerable<ReadingRow> rows, IReadOnlyList<RunOutput> acts, List<RunOutput>? outputs)
    {
        ArgumentNullException.ThrowIfNull(rows);
        outputs ??= [];
        var state = Play(plan, rows, acts, outputs);
        RunSupervisor.Step(state, plan, RunInput.Stop(state.AtSeconds), outputs);
        return state.Result!;
    }

    // What no reading tells: the rest of the facts follows from these and the rows.
    private static bool IsInput(RunOutput fact) => fact is PersonEntry or HeaterFact or RecordFact;

    private static RunState Play(RunPlan plan, IEnumerable<ReadingRow> rows, IReadOnlyList<RunOutput> acts, List<RunOutput> outputs)
    {
        var state = RunSupervisor.Begin(plan);
        var next = 0;
        foreach (var row in rows)
        {
            // A row that is out of all time says nothing about what came before it.
            var until = Math.Abs(row.AtSeconds) > RunInput.FarthestSeconds ? double.NegativeInfinity : row.AtSeconds;
            while (next < acts.Count && (ReadingSeconds(acts[next]) ?? double.NegativeInfinity) < until)
            {
                Act(state, plan, acts[next++], outputs);
            }

            RunSupervisor.Step(state, plan, row, outputs);
        }

        for (; next < acts.Count; next++)
        {
            Act(state, plan, acts[next], outputs);
        }

        return state;
    }

    private static double? ReadingSeconds(RunOutput act) => act switch
    {
        PersonEntry entry => entry.ReadingSeconds,
        HeaterFact fact => fact.ReadingSeconds,
        RecordFact fact => fact.ReadingSeconds,
        _ => null,
    };

    private static void Act(RunState state, RunPlan plan, RunOutput act, List<RunOutput> outputs)
    {
        switch (act)
        {
            case PersonEntry entry:
                RunSupervisor.Step(state, plan, entry.AsInput(), outputs);
                break;
            case HeaterFact fact:
                RunSupervisor.Step(state, plan, fact, outputs);
                break;
            case RecordFact fact:
                RunSupervisor.Step(state, plan, fact, outputs);
                break;
        }
    }
}
