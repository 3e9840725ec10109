using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Runs;

public sealed class PortionRobustnessTests
{
    private static readonly RunPlan[] Plans =
    [
        PortionBench.PlanOf("iso-3679-2022-b") with { ExpectedFlashCelsius = 60, FineStep = true },
        PortionBench.PlanOf("iso-3679-2022-a") with { SpecificationCelsius = 60 },
        PortionBench.PlanOf("iso-3679-2022-b") with { ExpectedFlashCelsius = 60, Mode = RunMode.Observed, HasFlameSignal = true },
    ];

    // Kind, time since the input before, and a value that suits the kind; times may stand still, go back, or be out of all time.
    private static readonly Gen<RunInput> Inputs = Gen.Select(Gen.Int[0, 9], Gen.OneOf(Gen.Double[0, 70], Gen.Double[-5, 1], Gen.Const(1e12)), Gen.Double[0, 1]).Select((kind, pause, value) => kind switch
    {
        0 or 1 or 2 => RunInput.Temperature(pause, 58 + (value * 9)),
        3 => RunInput.BadTemperature(pause, value < 0.5 ? ReadingMarks.OpenCircuit : ReadingMarks.Stale),
        4 => RunInput.Detector(pause, value * 100),
        5 => RunInput.Flame(pause, value < 0.5),
        6 => RunInput.Observation(pause, (Sighting)(int)(value * 4.99)),
        7 => RunInput.Withdrawal(pause),
        8 => RunInput.Portion(pause, value < 0.3 ? null : 2 + value),
        _ => RunInput.Tick(pause),
    });

    private static List<string> Run(RunPlan plan, RunInput[] inputs, bool saved)
    {
        var (state, outputs, at) = (RunSupervisor.Begin(plan), new List<RunOutput>(), 0.0);
        foreach (var input in inputs)
        {
            at += input.AtSeconds is > -100 and < 1e6 ? input.AtSeconds : 0;
            RunSupervisor.Step(state, plan, input with { AtSeconds = input.AtSeconds > 1e6 ? input.AtSeconds : at }, outputs);
            state = saved ? RunSnapshot.Load(RunSnapshot.Save(state)) : state;
            _ = RunSupervisor.Status(state, plan);
        }

        RunSupervisor.Step(state, plan, RunInput.Stop(at), outputs);
        Assert.NotNull(state.Result);
        return outputs.ConvertAll(fact => fact.ToString());
    }

    [Fact]
    public void No_order_of_inputs_stops_it_and_the_same_inputs_give_the_same_facts_wherever_it_was_taken_up() =>
        Gen.Select(Gen.Int[0, Plans.Length - 1], Inputs.Array[1, 120]).Sample((plan, inputs) =>
        {
            var straight = Run(Plans[plan], inputs, saved: false);
            Assert.Equal(straight, Run(Plans[plan], inputs, saved: true));
        }, iter: 400);
}
