using System.Text.Json;
using Acquire.Core.Runs;
using Acquire.Core.Thermometry;
using Acquire.Core.Tests.Traces;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Runs;

public sealed class RunSnapshotTests
{
    private static string Taken()
    {
        var run = new BenchTrace { PerSecond = 10, Seed = 401 }.Make();
        var plan = run.Trace.Plan;
        var state = RunSupervisor.Begin(plan);
        foreach (var row in run.Rows.Take(run.Rows.Length / 2))
        {
            RunSupervisor.Step(state, plan, row, []);
        }

        return RunSnapshot.Save(state);
    }

    [Fact]
    public void A_fresh_run_has_a_snapshot_too()
    {
        var plan = new BenchTrace().Plan;
        var text = RunSnapshot.Save(RunSupervisor.Begin(plan));

        Assert.Equal(text, RunSnapshot.Save(RunSnapshot.Load(text)));
        Assert.Equal(RunPhase.Ready, RunSnapshot.Load(text).Phase);
    }

    [Fact]
    public void Every_member_of_the_state_is_in_the_snapshot()
    {
        // What a part of the state remembers in a field must be written; a field that is forgotten resumes as its default.
        const System.Reflection.BindingFlags own = System.Reflection.BindingFlags.Instance | System.Reflection.BindingFlags.NonPublic | System.Reflection.BindingFlags.Public;
        var parts = new[] { typeof(RunState), typeof(Core.Detection.RampEstimator), typeof(Core.Detection.StrayPoints), typeof(Core.Detection.BandWatch), typeof(Core.Detection.KinkTest), typeof(Core.Detection.TurnNoise), typeof(Core.Detection.DetectorWatch), typeof(Core.Detection.SecondDetector), typeof(Core.Detection.SpectrumLearner), typeof(Core.Detection.MainsHum), typeof(Core.Detection.DetectorHistory), typeof(Core.Detection.PassMemory), typeof(Core.Detection.BurnTracker), typeof(Core.Detection.StrayWatch), typeof(Core.Detection.RestLevel), typeof(Core.Detection.GlowStreak), typeof(Core.Detection.ShortMean), typeof(TemperatureGate), typeof(ThermometerLedger), typeof(FaultSeen), typeof(TemperatureCourse), typeof(ValueRhythm), typeof(YesNoCourse) };
        foreach (var part in parts)
        {
            foreach (var field in part.GetFields(own).Where(field => !field.Name.Contains("Seen", StringComparison.Ordinal)))
            {
                var property = field.Name.StartsWith('<') ? part.GetProperty(field.Name[1..field.Name.IndexOf('>', StringComparison.Ordinal)], own) : null;
                // Memory for work within one step is left out by an explicit word; what comes out of it is compared by the tests that resume.
                var kept = ((System.Reflection.MemberInfo?)property ?? field).IsDefined(typeof(System.Text.Json.Serialization.JsonIncludeAttribute), false);
                Assert.True(kept || field.FieldType == typeof(Core.Detection.IdleLearner) || field.FieldType == typeof(Core.Detection.QuietReadings) || field.FieldType == typeof(Core.Detection.RampSums) || field.FieldType == typeof(Core.Detection.PassFigures) || field.FieldType == typeof(Core.Detection.Decay), $"{part.Name}.{field.Name} is not kept");
            }
        }
    }

    [Fact]
    public void A_closed_run_keeps_its_result()
    {
        var run = new BenchTrace { PerSecond = 10, Seed = 402 }.Make();
        var plan = run.Trace.Plan;
        var state = RunSupervisor.Begin(plan);
        foreach (var row in run.Rows)
        {
            RunSupervisor.Step(state, plan, row, []);
        }

        RunSupervisor.Step(state, plan, RunInput.Stop(state.AtSeconds), []);
        var again = RunSnapshot.Load(RunSnapshot.Save(state));

        Assert.Equal(RunPhase.Closed, again.Phase);
        Assert.Equal(JsonSerializer.Serialize(state.Result), JsonSerializer.Serialize(again.Result));
    }

    [Fact]
    public void Text_that_is_no_snapshot_is_a_JsonException()
    {
        var good = Taken();
        foreach (var bad in new[] { "", "null", "[]", "7", "{", "{\"Phase\":\"x\"}" })
        {
            Assert.Throws<JsonException>(() => RunSnapshot.Load(bad));
        }

        Gen.Int[0, good.Length - 1].Sample(cut => { Assert.Throws<JsonException>(() => RunSnapshot.Load(good[..cut])); }, iter: 30);
    }
}
