using Acquire.Core.Readings;
using Acquire.Core.Results;

namespace Acquire.Core.Runs;

/// <summary>Stand-in until the supervisor's own branch is merged.</summary>
public sealed class RunState
{
    internal RunPhase Phase { get; set; } = RunPhase.Ready;

    internal ReadingRow Newest { get; set; }

    internal double? Celsius { get; set; }

    internal double? Detector { get; set; }
}

/// <summary>Stand-in until the supervisor's own branch is merged: states the first heating and the close.</summary>
public static class RunSupervisor
{
    public static RunState Begin(RunPlan plan)
    {
        ArgumentNullException.ThrowIfNull(plan);
        return new();
    }

    public static void Step(RunState state, RunPlan plan, in ReadingRow row, List<RunOutput> outputs)
    {
        if (state.Phase == RunPhase.Closed)
        {
            return;
        }

        state.Newest = row;
        if (row.Has(RowChannels.Detector))
        {
            state.Detector = row.Detector;
        }

        if (!row.Has(RowChannels.Temperature))
        {
            return;
        }

        state.Celsius = row.TemperatureCelsius;
        if (state.Phase == RunPhase.Ready)
        {
            state.Phase = RunPhase.FastHeating;
            outputs.Add(new PhaseChanged(row.AtSeconds, RunPhase.Ready, RunPhase.FastHeating, row.TemperatureCelsius));
        }
    }

    public static void Step(RunState state, RunPlan plan, in RunInput input, List<RunOutput> outputs)
    {
        if (state.Phase == RunPhase.Closed || input.Kind != RunInputKind.Stop)
        {
            return;
        }

        outputs.Add(new PhaseChanged(input.AtSeconds, state.Phase, RunPhase.Closed, state.Celsius));
        state.Phase = RunPhase.Closed;
        outputs.Add(new RunClosed(input.AtSeconds, new RunResult(Verdict.Invalid, null, null, plan.StationPressureKilopascals ?? 101.3, [], [])));
    }

    public static RunStatus Status(RunState state, RunPlan plan) => new()
    {
        Phase = state.Phase,
        AtSeconds = state.Newest.AtSeconds,
        TemperatureCelsius = state.Celsius,
        Detector = state.Detector,
        Applications = 0,
        FlameOver = state.Newest.FlameOver,
    };
}
