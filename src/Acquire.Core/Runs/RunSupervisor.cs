using Acquire.Core.Readings;

namespace Acquire.Core.Runs;

/// <summary>Supervises a run, one input at a time. The one that runs live is the one that replays and simulates.</summary>
/// <remarks>
/// Deterministic: the same plan and the same inputs give the same outputs, however they are cut into calls and wherever the
/// state was saved and restored in between. Time comes with each input; inputs of one channel whose time does not go
/// forward are kept out and counted.
/// </remarks>
public static class RunSupervisor
{
    /// <summary>A run about to begin.</summary>
    public static RunState Begin(RunPlan plan)
    {
        ArgumentNullException.ThrowIfNull(plan);
        return new RunState();
    }

    /// <summary>Takes one row of readings.</summary>
    /// <param name="state">The run; moved on by the call.</param>
    /// <param name="plan">The same plan for all steps of a run.</param>
    /// <param name="row">Readings of one moment.</param>
    /// <param name="outputs">Facts are added to the end.</param>
    public static void Step(RunState state, RunPlan plan, in ReadingRow row, List<RunOutput> outputs)
    {
        ArgumentNullException.ThrowIfNull(state);
        if (state.Withdrawable is not null)
        {
            WithdrawableObservation.Keep(state, new(row, null));
        }

        Row(state, plan, row, outputs);
        WithdrawableObservation.Expire(state);
    }

    /// <summary>Takes again what was taken since an observation that is taken back.</summary>
    internal static void Again(RunState state, RunPlan plan, in InputSince since, List<RunOutput> outputs)
    {
        if (since.Row is { } row)
        {
            Row(state, plan, row, outputs);
        }
        else
        {
            One(state, plan, since.Input!.Value, outputs);
        }
    }

    private static void Row(RunState state, RunPlan plan, in ReadingRow row, List<RunOutput> outputs)
    {
        // A jump is judged here as well, by the same gate: it alone keeps no reading from the supervisor.
        if ((row.Marks & ReadingMarks.Bad & ~ReadingMarks.ImpossibleJump) != 0)
        {
            One(state, plan, RunInput.BadTemperature(row.AtSeconds, row.Marks), outputs);
        }
        else if (row.Has(RowChannels.Temperature) && (row.Marks & ReadingMarks.LagUncorrected) == 0)
        {
            One(state, plan, RunInput.Temperature(row.AtSeconds, row.TemperatureCelsius), outputs);
            ThermometerSupervision.Read(new Bench(state, plan, outputs), row);
        }

        if (row.HasBench)
        {
            StepBench(state, plan, row, outputs);
        }

        if (state.Phase != RunPhase.Closed && Math.Abs(row.AtSeconds) <= RunInput.FarthestSeconds)
        {
            LookForSilence(new Bench(state, plan, outputs), row);
        }

        StepIgnition(state, plan, row, outputs);
    }

    private static void LookForSilence(in Bench bench, in ReadingRow row)
    {
        if (bench.State.Told.IsTold)
        {
            BenchSilence.Row(bench, row);
        }

        if (row.Has(RowChannels.SecondDetector) || double.IsFinite(bench.State.SecondDetectorAt))
        {
            SecondDetectorSilence.Row(bench, row);
        }
    }

    private static void StepIgnition(RunState state, RunPlan plan, in ReadingRow row, List<RunOutput> outputs)
    {
        if (row.Has(RowChannels.Flame))
        {
            One(state, plan, RunInput.Flame(row.AtSeconds, row.FlameOver), outputs);
        }

        // The first detector decides at its reading: what the second has to say is to be at hand then.
        if (row.Has(RowChannels.SecondDetector))
        {
            One(state, plan, RunInput.SecondDetector(row.AtSeconds, row.SecondDetector), outputs);
        }

        if (row.Has(RowChannels.Detector))
        {
            One(state, plan, RunInput.Detector(row.AtSeconds, row.Detector), outputs);
        }
    }

    // Before the flame's position: whether it burns is to be known when it comes over the cup.
    private static void StepBench(RunState state, RunPlan plan, in ReadingRow row, List<RunOutput> outputs)
    {
        if (row.Has(RowChannels.Lit))
        {
            One(state, plan, RunInput.Lit(row.AtSeconds, row.Lit), outputs);
        }

        if (row.Has(RowChannels.Stirrer))
        {
            One(state, plan, RunInput.Stirrer(row.AtSeconds, row.StirrerRevolutionsPerMinute), outputs);
        }
        else if (row.Has(RowChannels.Stirring))
        {
            One(state, plan, RunInput.Stirring(row.AtSeconds, row.Stirring), outputs);
        }

        if (row.Has(RowChannels.Air))
        {
            One(state, plan, RunInput.Air(row.AtSeconds, row.AirMetresPerSecond), outputs);
        }

        if (row.Has(RowChannels.Ambient))
        {
            One(state, plan, RunInput.Ambient(row.AtSeconds, row.AmbientCelsius), outputs);
        }
    }

    /// <summary>Takes one input.</summary>
    /// <param name="state">The run; moved on by the call.</param>
    /// <param name="plan">The same plan for all steps of a run.</param>
    /// <param name="input">The input; its value must be finite. A time beyond <see cref="RunInput.FarthestSeconds"/> is kept out and counted.</param>
    /// <param name="outputs">Facts are added to the end.</param>
    /// <exception cref="ArgumentOutOfRangeException">Time or value is not finite, or an observation is of nothing that can be seen: whoever parsed it let it through.</exception>
    public static void Step(RunState state, RunPlan plan, in RunInput input, List<RunOutput> outputs)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(outputs);
        if (state.Withdrawable is not null && input.Kind is not (RunInputKind.Observation or RunInputKind.Withdrawal))
        {
            WithdrawableObservation.Keep(state, new(null, input));
        }

        One(state, plan, input, outputs);
        WithdrawableObservation.Expire(state);
    }

    private static void One(RunState state, RunPlan plan, in RunInput input, List<RunOutput> outputs)
    {
        if (!double.IsFinite(input.AtSeconds) || !double.IsFinite(input.Value))
        {
            throw new ArgumentOutOfRangeException(nameof(input), $"A {input.Kind} input at {input.AtSeconds} s carries {input.Value}; both must be finite.");
        }

        if (input.Kind == RunInputKind.Observation && !(Math.Abs(input.Value) < int.MaxValue && Enum.IsDefined((Sighting)(int)input.Value)))
        {
            throw new ArgumentOutOfRangeException(nameof(input), $"An observation at {input.AtSeconds} s carries {input.Value}, which is no {nameof(Sighting)}.");
        }

        if (state.Phase == RunPhase.Closed)
        {
            return;
        }

        var bench = new Bench(state, plan, outputs);
        if (Math.Abs(input.AtSeconds) > RunInput.FarthestSeconds)
        {
            OutOfTime(bench, input.Kind);
        }
        else
        {
            Take(bench, input);
        }
    }

    /// <summary>Takes what happened to the heater of a driven run, and states it. In a run that is closed only that the heater went off with the close is stated; nothing is judged by it any more.</summary>
    /// <param name="state">The run; moved on by the call.</param>
    /// <param name="plan">The same plan for all steps of a run.</param>
    /// <param name="fact">What happened; its place among the readings is set here.</param>
    /// <param name="outputs">Facts are added to the end.</param>
    /// <exception cref="ArgumentOutOfRangeException">The time is not finite.</exception>
    public static void Step(RunState state, RunPlan plan, HeaterFact fact, List<RunOutput> outputs)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(fact);
        ArgumentNullException.ThrowIfNull(outputs);
        if (!double.IsFinite(fact.AtSeconds))
        {
            throw new ArgumentOutOfRangeException(nameof(fact), $"{fact} has no time.");
        }

        if (state.Phase != RunPhase.Closed)
        {
            HeaterSupervision.Take(new Bench(state, plan, outputs), fact);
        }
        else if (fact is HeaterCut { WasOn: true })
        {
            HeaterSupervision.AfterClose(state, fact, outputs);
        }
    }

    /// <summary>Takes something about the record itself, and states it. Nothing in a run that is closed.</summary>
    /// <param name="state">The run; moved on by the call.</param>
    /// <param name="plan">The same plan for all steps of a run.</param>
    /// <param name="fact">What it is; its place among the readings is set here.</param>
    /// <param name="outputs">Facts are added to the end.</param>
    public static void Step(RunState state, RunPlan plan, RecordFact fact, List<RunOutput> outputs)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(fact);
        ArgumentNullException.ThrowIfNull(outputs);
        if (state.Phase != RunPhase.Closed)
        {
            ResumeSupervision.Take(new Bench(state, plan, outputs), fact);
        }
    }

    private static void Take(in Bench bench, in RunInput input)
    {
        var state = bench.State;
        if (input.Kind is not (RunInputKind.Observation or RunInputKind.Withdrawal or RunInputKind.Portion or RunInputKind.Stop))
        {
            state.Guide.ReadingSeconds = Math.Max(state.Guide.ReadingSeconds ?? input.AtSeconds, input.AtSeconds);
        }

        if (bench.Plan.IsEquilibrium)
        {
            TakePortions(bench, input);
            return;
        }

        if (input.Kind is RunInputKind.Lit or RunInputKind.Stirrer or RunInputKind.Stirring or RunInputKind.Air or RunInputKind.Ambient)
        {
            BenchSupervision.Take(bench, input);
        }
        else if (!TakeAct(bench, input))
        {
            TakeReading(bench, input);
        }

        if (input.Kind == RunInputKind.Tick)
        {
            RampSupervision.CloseWithoutThermometer(bench);
        }

        if (state.Guide.BurningSince is not null && state.Phase != RunPhase.Closed)
        {
            GuidedSupervision.Pass(bench);
        }
    }

    private static void TakeReading(in Bench bench, in RunInput input)
    {
        var state = bench.State;
        switch (input.Kind)
        {
            case RunInputKind.Temperature when Forward(state, input.AtSeconds, state.TemperatureAt):
                RampSupervision.Temperature(bench, input.AtSeconds, input.Value);
                break;
            case RunInputKind.BadTemperature:
                ThermometerSupervision.Bad(bench, input.AtSeconds, (ReadingMarks)(int)input.Value);
                RampSupervision.CloseWithoutThermometer(bench);
                break;
            case RunInputKind.Detector when Forward(state, input.AtSeconds, state.DetectorAt):
                state.DetectorAt = input.AtSeconds;
                IgnitionSupervision.Detector(bench, input.AtSeconds, input.Value);
                RampSupervision.CloseWithoutThermometer(bench);
                break;
            case RunInputKind.SecondDetector when Forward(state, input.AtSeconds, state.SecondDetectorAt):
                state.SecondDetectorAt = input.AtSeconds;
                IgnitionSupervision.SecondDetector(bench, input.AtSeconds, input.Value);
                break;
            case RunInputKind.Flame when Forward(state, input.AtSeconds, state.FlameAt):
                state.FlameAt = input.AtSeconds;
                if (bench.Plan is { HasFlameSignal: true, IsGuided: false })
                {
                    ApplicationSupervision.Flame(bench, input.AtSeconds, input.Value != 0);
                }

                break;
        }
    }

    // What a person does, and the clock: the same along a ramp and with fresh test portions. False where it is something else.
    private static bool TakeAct(in Bench bench, in RunInput input)
    {
        var state = bench.State;
        switch (input.Kind)
        {
            case RunInputKind.Observation when bench.Plan.IsGuided:
                GuidedSupervision.Observe(bench, input.AtSeconds, (Sighting)(int)input.Value, input.Person);
                return true;
            case RunInputKind.Withdrawal when bench.Plan.IsGuided:
                WithdrawableObservation.Withdraw(bench, input.AtSeconds, input.Person);
                return true;
            case RunInputKind.Tick:
                state.AtSeconds = Math.Max(state.AtSeconds, input.AtSeconds);
                return true;
            case RunInputKind.Stop:
                state.AtSeconds = Math.Max(state.AtSeconds, input.AtSeconds);
                RunClosing.Close(bench);
                return true;
            default:
                return false;
        }
    }

    private static void TakePortions(in Bench bench, in RunInput input)
    {
        var state = bench.State;
        switch (input.Kind)
        {
            case RunInputKind.Temperature when Forward(state, input.AtSeconds, state.TemperatureAt):
                PortionSupervision.Temperature(bench, input.AtSeconds, input.Value);
                break;
            case RunInputKind.BadTemperature:
                ThermometerSupervision.Bad(bench, input.AtSeconds, (ReadingMarks)(int)input.Value);
                break;
            case RunInputKind.Detector when Forward(state, input.AtSeconds, state.DetectorAt):
                state.DetectorAt = input.AtSeconds;
                PortionSightings.Detector(bench, input.AtSeconds, input.Value);
                break;
            case RunInputKind.SecondDetector when Forward(state, input.AtSeconds, state.SecondDetectorAt):
                state.SecondDetectorAt = input.AtSeconds;
                PortionSightings.SecondDetector(bench, input.AtSeconds, input.Value);
                break;
            case RunInputKind.Flame when Forward(state, input.AtSeconds, state.FlameAt):
                state.FlameAt = input.AtSeconds;
                if (bench.Plan is { HasFlameSignal: true, IsGuided: false })
                {
                    PortionSightings.Flame(bench, input.AtSeconds, input.Value != 0);
                }

                break;
            case RunInputKind.Portion:
                PortionCharging.Charge(bench, input.AtSeconds, input.Value > 0 ? input.Value : null, input.Person);
                break;
            default:
                TakeAct(bench, input);
                break;
        }

        PortionSupervision.Pass(bench);
    }

    /// <summary>The alarms that stand, as they were raised last; for whoever takes a run up again.</summary>
    public static IReadOnlyList<AlarmRaised> Alarms(RunState state)
    {
        ArgumentNullException.ThrowIfNull(state);
        return [.. state.Alarms.Select(code => new AlarmRaised(state.AtSeconds, code, state.AlarmTexts[code]))];
    }

    /// <summary>What a person wants to see now.</summary>
    public static RunStatus Status(RunState state, RunPlan plan) => RunStatusView.Of(state, plan);

    // A time this far off is damage on the wire. Kept, it would stand before every later reading and shut them all out.
    private static void OutOfTime(in Bench bench, RunInputKind kind)
    {
        if (kind == RunInputKind.Stop)
        {
            RunClosing.Close(bench);
        }
        else if (kind is not (RunInputKind.Tick or RunInputKind.Observation or RunInputKind.Withdrawal or RunInputKind.Portion))
        {
            bench.State.NotForward++;
        }
    }

    private static bool Forward(RunState state, double seconds, double before)
    {
        if (seconds <= before)
        {
            state.NotForward++;
            return false;
        }

        state.AtSeconds = Math.Max(state.AtSeconds, seconds);
        return true;
    }
}
