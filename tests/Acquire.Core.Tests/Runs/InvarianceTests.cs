using System.Text.Json;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Runs;

public sealed class InvarianceTests
{
    private static readonly BenchRun Flame = new BenchTrace { PerSecond = 25, ShortBurns = [3], Seed = 201 }.Make();

    private static readonly BenchRun Blind = new BenchTrace { PerSecond = 25, HasFlame = false, PassHeight = 12, Seed = 202 }.Make();

    // What must not depend on unit, offset or axis. Onsets are searched on a grid of 10 ms, and rounding may choose between
    // two neighbours on it; without a flame signal, between two readings (40 ms) for the start of a pass.
    private static void AssertAlike(Judged expected, Judged actual, double shift = 0)
    {
        Assert.Equal(expected.Result.Verdict, actual.Result.Verdict);
        AssertAlike(expected.Result.Flash, actual.Result.Flash, shift);
        AssertAlike(expected.Result.Fire, actual.Result.Fire, shift);
        Assert.Equal(expected.Result.Findings.Select(finding => (finding.Code, finding.Weight)), actual.Result.Findings.Select(finding => (finding.Code, finding.Weight)));
        Assert.Equal(expected.Outputs.Select(output => output.GetType()), actual.Outputs.Select(output => output.GetType()));
        Assert.All(expected.Result.Applications.Zip(actual.Result.Applications), pair =>
        {
            Assert.Equal((pair.First.Number, pair.First.Flash, pair.First.Evidence), (pair.Second.Number, pair.Second.Flash, pair.Second.Evidence));
            Assert.Equal(pair.First.TimeSeconds + shift, pair.Second.TimeSeconds, tolerance: 0.041);

            // A reading at the very edge of a window may fall in or out of it by the rounding of its time.
            Assert.Equal(pair.First.Significance, pair.Second.Significance, tolerance: 0.15 + (0.1 * pair.First.Significance));
        });
    }

    private static void AssertAlike(DeterminedPoint? expected, DeterminedPoint? actual, double shift)
    {
        Assert.Equal(expected is null, actual is null);
        Assert.Equal(expected?.ReportedCelsius, actual?.ReportedCelsius);
        Assert.Equal(expected?.TimeSeconds + shift ?? 0, actual?.TimeSeconds ?? 0, tolerance: 0.021);
        Assert.Equal(expected?.ObservedCelsius ?? 0, actual?.ObservedCelsius ?? 0, tolerance: 0.005);
    }

    [Fact]
    public void Scale_and_offset_of_the_detector_change_nothing()
    {
        var (flame, blind) = (Flame.Judge(), Blind.Judge());
        Gen.Select(Gen.Double[-4, 4], Gen.Double[-1, 1], Gen.Double[0, 4]).Sample((scale, sign, offset) =>
        {
            var (a, b) = (Math.Pow(10, scale), sign * Math.Pow(10, scale + offset));

            AssertAlike(flame, Flame.Judge(Flame.Rows.Select(row => row with { Detector = (a * row.Detector) + b })));
            AssertAlike(blind, Blind.Judge(Blind.Rows.Select(row => row with { Detector = (a * row.Detector) + b })));
        }, iter: 5);
    }

    [Theory]
    [InlineData(-1e5)]
    [InlineData(17.125)]
    [InlineData(1e6)]
    public void A_shift_of_the_time_axis_shifts_only_the_times(double shift)
    {
        foreach (var run in new[] { Flame, Blind })
        {
            AssertAlike(run.Judge(), run.Judge(run.Rows.Select(row => row with { AtSeconds = row.AtSeconds + shift })), shift);
        }
    }

    [Fact]
    public void Thinning_from_500_to_50_readings_a_second_keeps_the_flash()
    {
        var run = new BenchTrace { PerSecond = 500, Seed = 211 }.Make();

        run.Judge().AssertTrue(run);
        run.Judge(run.Rows.Where((_, i) => i % 10 == 0)).AssertTrue(run);
    }

    [Fact]
    public void The_same_inputs_give_the_same_outputs()
    {
        Assert.Equal(Written(Flame.Judge().Outputs), Written(Flame.Judge().Outputs));
    }

    [Fact]
    public void Rows_cut_into_single_inputs_change_nothing()
    {
        foreach (var run in new[] { Flame, Blind })
        {
            var state = RunSupervisor.Begin(run.Trace.Plan);
            var outputs = new List<RunOutput>();
            foreach (var row in run.Rows)
            {
                RunSupervisor.Step(state, run.Trace.Plan, RunInput.Temperature(row.AtSeconds, row.TemperatureCelsius), outputs);
                if (row.Has(Core.Readings.RowChannels.Flame))
                {
                    RunSupervisor.Step(state, run.Trace.Plan, RunInput.Flame(row.AtSeconds, row.FlameOver), outputs);
                }

                RunSupervisor.Step(state, run.Trace.Plan, RunInput.Detector(row.AtSeconds, row.Detector), outputs);
                RunSupervisor.Step(state, run.Trace.Plan, RunInput.Tick(row.AtSeconds), outputs);
            }

            RunSupervisor.Step(state, run.Trace.Plan, RunInput.Stop(state.AtSeconds), outputs);

            Assert.Equal(Written(run.Judge().Outputs), Written(outputs));
        }
    }

    [Fact]
    public void Saving_and_loading_at_any_moment_changes_nothing()
    {
        foreach (var run in new[] { Flame, Blind })
        {
            var expected = Written(run.Judge().Outputs);
            // Around each application and at random: where memory is fullest.
            Gen.Int[0, run.Rows.Length - 1].Array[25].Sample(random =>
            {
                var moments = random.Concat(run.Passes.Select(pass => Array.FindIndex(run.Rows, row => row.AtSeconds >= pass.Start + 0.5))).ToHashSet();
                var state = RunSupervisor.Begin(run.Trace.Plan);
                var outputs = new List<RunOutput>();
                for (var i = 0; i < run.Rows.Length; i++)
                {
                    if (moments.Contains(i))
                    {
                        var text = RunSnapshot.Save(state);
                        state = RunSnapshot.Load(text);
                        Assert.Equal(text, RunSnapshot.Save(state));
                    }

                    RunSupervisor.Step(state, run.Trace.Plan, run.Rows[i], outputs);
                }

                RunSupervisor.Step(state, run.Trace.Plan, RunInput.Stop(state.AtSeconds), outputs);
                Assert.Equal(expected, Written(outputs));
            }, iter: 2);
        }
    }

    [Fact]
    public void Nothing_is_allocated_for_a_reading_while_nothing_happens()
    {
        var run = Flame;
        var plan = run.Trace.Plan;
        var state = RunSupervisor.Begin(plan);
        var outputs = new List<RunOutput>(1000);
        var free = 0;
        foreach (var row in run.Rows)
        {
            var before = GC.GetAllocatedBytesForCurrentThread();
            RunSupervisor.Step(state, plan, row, outputs);
            free += GC.GetAllocatedBytesForCurrentThread() == before ? 1 : 0;
        }

        // The quiet detector is learnt again once a second and a rate judged four times a second; all other readings are free.
        Assert.InRange((double)free / run.Rows.Length, 0.9, 1);
    }

    internal static string Written(IEnumerable<RunOutput> outputs) => JsonSerializer.Serialize(outputs);
}
