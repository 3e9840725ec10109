using System.Text.Json;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Runs;

public sealed class StateMachineTests
{
    // Read off the phases' own descriptions. An application can begin in every phase that heats, and falls back to the one
    // it came from, or on to what the ramp or the flash has reached meanwhile.
    private static readonly HashSet<(RunPhase, RunPhase)> Edges =
    [
        (RunPhase.Ready, RunPhase.FastHeating),
        (RunPhase.Ready, RunPhase.ControlledHeating),
        (RunPhase.FastHeating, RunPhase.ControlledHeating),
        (RunPhase.FastHeating, RunPhase.ApplyingTestFlame),
        (RunPhase.ControlledHeating, RunPhase.ApplyingTestFlame),
        (RunPhase.HeatingToFirePoint, RunPhase.ApplyingTestFlame),
        (RunPhase.ApplyingTestFlame, RunPhase.FastHeating),
        (RunPhase.ApplyingTestFlame, RunPhase.ControlledHeating),
        (RunPhase.ApplyingTestFlame, RunPhase.HeatingToFirePoint),
        (RunPhase.FastHeating, RunPhase.HeatingToFirePoint),
        (RunPhase.ControlledHeating, RunPhase.HeatingToFirePoint),
        (RunPhase.FastHeating, RunPhase.Cooling),
        (RunPhase.ControlledHeating, RunPhase.Cooling),
        (RunPhase.ApplyingTestFlame, RunPhase.Cooling),
        (RunPhase.HeatingToFirePoint, RunPhase.Cooling),
        (RunPhase.Ready, RunPhase.Closed),
        (RunPhase.FastHeating, RunPhase.Closed),
        (RunPhase.ControlledHeating, RunPhase.Closed),
        (RunPhase.ApplyingTestFlame, RunPhase.Closed),
        (RunPhase.HeatingToFirePoint, RunPhase.Closed),
        (RunPhase.Cooling, RunPhase.Closed),
    ];

    private static readonly Gen<double> Gaps = Gen.Frequency(
        (20, Gen.Double[1e-3, 0.5]), (8, Gen.Double[0.5, 30]), (1, Gen.Double[-5, 0]), (1, Pick.From(0, 1e-300, 1e4, 1e9, 1e300, -1e300, double.Epsilon)));

    private static readonly Gen<double> Temperatures = Gen.Frequency(
        (10, Gen.Double[150, 300]), (2, Gen.Double[-300, 1600]), (1, Pick.From(0, double.MaxValue, double.MinValue, double.Epsilon, 1e10)));

    private static readonly Gen<double> Detectors = Gen.Frequency(
        (10, Gen.Double[99, 101]), (4, Gen.Double[-1e3, 1e4]), (1, Pick.From(0, double.MaxValue, double.MinValue, double.Epsilon, -double.Epsilon, 1e100, 1e-200, 1e154)));

    private static readonly Gen<double> Told = Gen.Frequency(
        (10, Pick.From(0.0, 1.0)), (6, Gen.Double[-50, 5100]), (1, Pick.From(double.MaxValue, double.MinValue, double.Epsilon)));

    private static readonly Gen<(RunInputKind Kind, double Gap, double Value)> Inputs = Gen.Frequency(
        (10, Gen.Select(Gaps, Temperatures).Select(pair => (RunInputKind.Temperature, pair.Item1, pair.Item2))),
        (20, Gen.Select(Gaps, Detectors).Select(pair => (RunInputKind.Detector, pair.Item1, pair.Item2))),
        (10, Gen.Select(Gaps, Detectors).Select(pair => (RunInputKind.SecondDetector, pair.Item1, pair.Item2))),
        (6, Gen.Select(Gaps, Gen.Bool).Select(pair => (RunInputKind.Flame, pair.Item1, pair.Item2 ? 1.0 : 0.0))),
        (6, Gen.Select(Gaps, Pick.From(RunInputKind.Lit, RunInputKind.Stirring, RunInputKind.Stirrer, RunInputKind.Air, RunInputKind.Ambient), Told).Select(told => (told.Item2, told.Item1, told.Item3))),
        (1, Gaps.Select(gap => (RunInputKind.Tick, gap, 0.0))));

    private static readonly Gen<(RunInputKind Kind, double Gap, double Value)> GuidedInputs = Gen.Frequency(
        (4, Inputs),
        (1, Gen.Select(Gaps, Pick.From(Enum.GetValues<Sighting>())).Select(pair => (RunInputKind.Observation, pair.Item1, (double)(int)pair.Item2))),
        (1, Gaps.Select(gap => (RunInputKind.Withdrawal, gap, 0.0))));

    private static List<RunOutput> Feed(IEnumerable<RunInput> inputs, RunPlan plan)
    {
        var state = RunSupervisor.Begin(plan);
        var outputs = new List<RunOutput>();
        var at = 0.0;
        foreach (var input in inputs)
        {
            RunSupervisor.Step(state, plan, input, outputs);
            Assert.True(state.AtSeconds >= at);
            at = state.AtSeconds;
        }

        // Strict JSON holds no infinity and no NaN: this throws where a number could not be shown or archived.
        Assert.NotEmpty(JsonSerializer.Serialize(RunSupervisor.Status(state, plan)));
        RunSupervisor.Step(state, plan, RunInput.Stop(state.AtSeconds), outputs);
        var told = outputs.Count;
        RunSupervisor.Step(state, plan, RunInput.Temperature(at + 1, 25), outputs);
        RunSupervisor.Step(state, plan, RunInput.Detector(at + 1, 25), outputs);
        RunSupervisor.Step(state, plan, RunInput.Observation(at + 1, Sighting.Burning), outputs);
        RunSupervisor.Step(state, plan, RunInput.Withdrawal(at + 1), outputs);
        RunSupervisor.Step(state, plan, RunInput.Stop(at + 2), outputs);
        Assert.Equal(told, outputs.Count);
        return outputs;
    }

    private static void AssertLawful(List<RunOutput> outputs, double latest)
    {
        var facts = StandingFacts.Of(outputs);
        var phase = RunPhase.Ready;
        foreach (var change in facts.OfType<PhaseChanged>())
        {
            Assert.Equal(phase, change.From);
            Assert.Contains((change.From, change.To), Edges);
            phase = change.To;
        }

        Assert.Equal(RunPhase.Closed, phase);
        Assert.IsType<RunClosed>(outputs[^1]);
        Assert.Single(outputs.OfType<RunClosed>());
        Assert.True(facts.OfType<FlashDetected>().Count() <= 1);
        Assert.True(facts.OfType<FireDetected>().Count() <= 1);
        Assert.All(outputs, output => Assert.InRange(output.AtSeconds, -RunInput.FarthestSeconds, latest));
        Assert.All(outputs.OfType<ApplicationJudged>(), output => Assert.InRange(output.Application.TemperatureCelsius, ReadingRow.LowestCelsius - 2000, ReadingRow.HighestCelsius + 2000));

        Assert.NotEmpty(JsonSerializer.Serialize(outputs));
        var standing = new HashSet<string>();
        foreach (var output in outputs)
        {
            Assert.True(output is not AlarmRaised raised || standing.Add(raised.Code));
            Assert.True(output is not AlarmCleared cleared || standing.Remove(cleared.Code));
        }

        Assert.Empty(standing);
    }

    // Each due application is asked for once, and again only where the test flame was out; an answer is an application of a person, and a run without a person has neither.
    private static void AssertAsked(IReadOnlyList<RunOutput> outputs, RunMode mode)
    {
        var prompts = outputs.Where(output => output is ApplicationPrompted or ApplicationJudged { Application.Unlit: true }).ToArray();
        for (var i = 1; i < prompts.Length; i++)
        {
            Assert.False(prompts[i - 1] is ApplicationPrompted before && prompts[i] is ApplicationPrompted after && before.DueCelsius == after.DueCelsius);
        }

        if (mode == RunMode.Observed)
        {
            Assert.Empty(outputs.OfType<ApplicationPrompted>());
            Assert.Empty(outputs.OfType<ObservationMade>());
        }

        Assert.All(outputs.OfType<ApplicationJudged>(), judged => Assert.Equal(mode == RunMode.Guided, judged.Application.Evidence == ApplicationEvidence.Person));
        Assert.True(outputs.OfType<ObservationMade>().Count() >= outputs.OfType<ApplicationJudged>().Count(judged => judged.Application.Evidence == ApplicationEvidence.Person));
    }

    [Theory]
    [InlineData(true, RunMode.Observed)]
    [InlineData(false, RunMode.Observed)]
    [InlineData(true, RunMode.Guided)]
    [InlineData(false, RunMode.Guided)]
    public void Any_sequence_of_finite_inputs_is_lawful(bool flame, RunMode mode)
    {
        // A method that judges all that can be told of a bench.
        var trace = new BenchTrace { HasFlame = flame };
        var told = trace.Method with { Stirring = new(new(90, 120), true) { OutsideSeconds = 10 }, Surroundings = trace.Method.Surroundings! with { AmbientCelsius = new(15, 30) } };
        var plan = (trace with { Method = told }).Plan with { Mode = mode };
        GuidedInputs.List[0, 400].Sample(steps =>
        {
            double at = 0, latest = 0;
            var inputs = steps.ConvertAll(step =>
            {
                at = Math.Abs(at + step.Gap) > 1e12 ? step.Gap : at + step.Gap;
                latest = Math.Abs(at) <= RunInput.FarthestSeconds ? Math.Max(latest, at) : latest;
                return new RunInput(step.Kind, at, step.Value);
            });

            var outputs = Feed(inputs, plan);
            AssertLawful(outputs, latest);
            AssertAsked(StandingFacts.Of(outputs), mode);
        }, iter: 400);
    }

    [Fact]
    public void A_whole_run_with_any_damage_is_lawful()
    {
        var flame = new BenchTrace { PerSecond = 10, ShortBurns = [3], Seed = 301 }.Make();
        Gen.Select(Gen.Int[0, flame.Rows.Length - 1].Array[20], Detectors.Array[20], Temperatures.Array[20], Gen.Int[0, 7].Array[20]).Sample((places, detectors, temperatures, kinds) =>
        {
            var rows = (ReadingRow[])flame.Rows.Clone();
            for (var i = 0; i < places.Length; i++)
            {
                ref var row = ref rows[places[i]];
                row = kinds[i] switch
                {
                    0 or 1 or 2 => row with { Detector = detectors[i] },
                    3 => row with { TemperatureCelsius = temperatures[i] },
                    4 => row with { Present = RowChannels.None },
                    5 => row with { FlameOver = !row.FlameOver },
                    6 => row with { AtSeconds = row.AtSeconds - 3 },
                    _ => row with { Present = row.Present & ~RowChannels.Detector },
                };
            }

            AssertLawful(flame.Judge(rows).Outputs, rows[^1].AtSeconds);
        }, iter: 25);
    }

    [Fact]
    public void A_channel_may_be_missing_altogether()
    {
        var run = new BenchTrace { PerSecond = 10, Seed = 302 }.Make();
        foreach (var channels in Enumerable.Range(0, 8).Select(bits => (RowChannels)bits))
        {
            AssertLawful(run.Judge(run.Rows.Select(row => row with { Present = channels })).Outputs, run.Rows[^1].AtSeconds);
            AssertLawful(run.Judge(run.Rows.Select((row, i) => row with { Present = channels | (i % 3000 < 2000 ? RowChannels.SecondDetector : 0), SecondDetector = -row.Detector })).Outputs, run.Rows[^1].AtSeconds);
            AssertLawful(run.Judge(run.Rows.Select((row, i) => row with { Present = channels | ReadingRow.BenchChannels, Lit = i / 300 % 2 == 0, AirMetresPerSecond = i % 700 / 400.0, StirrerRevolutionsPerMinute = i % 200, AmbientCelsius = i / 200.0 })).Outputs, run.Rows[^1].AtSeconds);
        }
    }

    [Theory]
    [InlineData(1e305)]
    [InlineData(1e-310)]
    [InlineData(1e150)]
    public void A_detector_at_the_ends_of_the_number_range_is_judged_without_failing(double unit)
    {
        var run = new BenchTrace { PerSecond = 25, Seed = 303 }.Make();

        AssertLawful(run.Judge(run.Rows.Select(row => row with { Detector = unit * row.Detector })).Outputs, run.Rows[^1].AtSeconds);
        AssertLawful(run.Judge(run.Rows.Select(row => row with { Present = row.Present | RowChannels.SecondDetector, SecondDetector = unit * row.Detector })).Outputs, run.Rows[^1].AtSeconds);
    }

    [Theory]
    [InlineData(double.NaN, 1)]
    [InlineData(double.PositiveInfinity, 1)]
    [InlineData(1, double.NaN)]
    [InlineData(1, double.NegativeInfinity)]
    public void What_is_not_finite_is_refused_as_a_bug_of_whoever_parsed_it(double at, double value)
    {
        var plan = new BenchTrace().Plan;

        Assert.Throws<ArgumentOutOfRangeException>(() => RunSupervisor.Step(RunSupervisor.Begin(plan), plan, new RunInput(RunInputKind.Detector, at, value), []));
    }

    [Fact]
    public void Every_phase_can_be_reached_and_every_edge_is_of_known_phases()
    {
        var run = new BenchTrace { PerSecond = 25, ShortBurns = [3], Seed = 304 }.Make();

        var seen = run.Judge().Outputs.OfType<PhaseChanged>().SelectMany(change => new[] { change.From, change.To }).ToHashSet();

        seen.UnionWith(new PortionBench().Work().Outputs.OfType<PhaseChanged>().Select(change => change.To));
        Assert.Equal(Enum.GetValues<RunPhase>().ToHashSet(), seen);
    }
}
