using System.Text.Json;
using Acquire.Core.Alarms;
using Acquire.Core.Control;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Runs;

public sealed class HeaterRunTests
{
    private static readonly BenchRun Bench = new BenchTrace { PerSecond = 10, Seed = 5 }.Make();
    private static readonly RunPlan Plan = Bench.Trace.Plan with { Mode = RunMode.Driven };

    private static string Written(IEnumerable<RunOutput> outputs) => JsonSerializer.Serialize(outputs);

    private static HeaterCut Cut(string code = TripCodes.OperatorStop, bool wasOn = true) => new(double.NegativeZero, null, code, "A person turned the heater off.", wasOn);

    // The heater is turned on at the first row, and cut after the first row for which the moment has come.
    private static Judged WithCut(Func<RunStatus, bool> moment, HeaterCut cut)
    {
        var (state, outputs) = (RunSupervisor.Begin(Plan), new List<RunOutput>());
        var done = false;
        foreach (var row in Bench.Rows)
        {
            RunSupervisor.Step(state, Plan, row, outputs);
            if (!done && moment(RunSupervisor.Status(state, Plan)))
            {
                done = true;
                RunSupervisor.Step(state, Plan, cut with { AtSeconds = row.AtSeconds + 0.03 }, outputs);
            }
        }

        RunSupervisor.Step(state, Plan, RunInput.Stop(state.AtSeconds), outputs);
        Assert.True(done);
        return new(state.Result!, outputs);
    }

    [Fact]
    public void A_driven_run_is_judged_as_an_observed_one()
    {
        var observed = RunReplay.Run(Bench.Trace.Plan, Bench.Rows);
        var driven = RunReplay.Run(Plan, Bench.Rows);

        Assert.Equal(Verdict.Valid, driven.Verdict);
        Assert.Equal((observed.Flash, observed.Fire), (driven.Flash, driven.Fire));
    }

    [Fact]
    public void What_happens_to_the_heater_is_a_fact_at_its_place_among_the_readings()
    {
        var judged = WithCut(status => status.TemperatureCelsius > 180, Cut());

        var fact = Assert.Single(judged.Outputs.OfType<HeaterCut>());
        Assert.Equal(fact.ReadingSeconds!.Value + 0.03, fact.AtSeconds, tolerance: 1e-9);
    }

    [Fact]
    public void Cut_before_the_controlled_band_it_is_a_note()
    {
        var judged = WithCut(status => status.TemperatureCelsius > 165, Cut());

        Assert.Equal(FindingWeight.Note, judged.Only(FindingCodes.HeaterCut).Weight);
        Assert.Equal(Verdict.Valid, judged.Result.Verdict);
    }

    [Fact]
    public void Cut_on_the_way_to_the_flash_point_the_analyst_decides()
    {
        var judged = WithCut(status => status.TemperatureCelsius > 210, Cut(TripCodes.ReadingSilent));

        var finding = judged.Only(FindingCodes.HeaterCut);
        Assert.Equal(FindingWeight.Doubtful, finding.Weight);
        Assert.StartsWith("A person turned the heater off.", finding.Text, StringComparison.Ordinal);
        Assert.Equal(Verdict.Doubtful, judged.Result.Verdict);
    }

    [Fact]
    public void A_flash_point_that_was_found_before_is_not_spoiled()
    {
        var judged = WithCut(status => status.ObservedFlashCelsius is not null, Cut());

        Assert.Equal(FindingWeight.Note, judged.Only(FindingCodes.HeaterCut).Weight);
        Assert.Equal(Verdict.Valid, judged.Result.Verdict);
        Assert.NotNull(judged.Result.Flash!.ReportedCelsius);
    }

    [Theory]
    [InlineData(TripCodes.ResultComplete, true)]
    [InlineData(TripCodes.RunNotOpen, true)]
    [InlineData(TripCodes.OperatorStop, false)]
    public void The_ordinary_end_of_heating_and_a_heater_that_was_off_are_no_finding(string code, bool wasOn)
    {
        var judged = WithCut(status => status.TemperatureCelsius > 210, Cut(code, wasOn));

        judged.Lacks(FindingCodes.HeaterCut);
        Assert.Single(judged.Outputs.OfType<HeaterCut>());
    }

    [Fact]
    public void A_cut_after_the_result_is_complete_is_no_finding()
    {
        WithCut(status => status.ObservedFireCelsius is not null, Cut(TripCodes.OverTemperature)).Lacks(FindingCodes.HeaterCut);
    }

    [Fact]
    public void The_alarms_about_the_rate_fit_a_heater_that_the_service_regulates_and_do_not_stand_while_it_is_off()
    {
        var trace = Bench.Trace;
        var rows = Bench.Rows.Select(row => row with { AtSeconds = row.AtSeconds * 2.5 }).ToArray();
        var (plans, texts) = ((RunPlan[])[trace.Plan, Plan, Plan], new List<string[]>());
        for (var index = 0; index < plans.Length; index++)
        {
            var (state, outputs) = (RunSupervisor.Begin(plans[index]), new List<RunOutput>());
            if (index == 1)
            {
                RunSupervisor.Step(state, Plan, new HeaterTurnedOn(0, null, "R. Halden"), outputs);
            }

            foreach (var row in rows)
            {
                RunSupervisor.Step(state, plans[index], row, outputs);
            }

            texts.Add([.. outputs.OfType<AlarmRaised>().Where(alarm => alarm.Code is AlarmCodes.HeatingTooSlow or AlarmCodes.HeatingTooFast).Select(alarm => alarm.Text)]);
        }

        Assert.Contains(texts[0], text => text.Contains("Add heat", StringComparison.Ordinal));
        Assert.NotEmpty(texts[1]);
        Assert.All(texts[1], text => Assert.Contains("The service regulates the heater", text, StringComparison.Ordinal));
        Assert.All(texts[1], text => Assert.DoesNotContain("Add heat", text, StringComparison.Ordinal));
        Assert.Empty(texts[2]);
    }

    [Fact]
    public void A_cut_clears_the_alarms_about_the_rate()
    {
        var (state, outputs) = (RunSupervisor.Begin(Plan), new List<RunOutput>());
        RunSupervisor.Step(state, Plan, new HeaterTurnedOn(0, null, "R. Halden"), outputs);
        foreach (var row in Bench.Rows.Select(row => row with { AtSeconds = row.AtSeconds * 2.5 }).TakeWhile(_ => !outputs.OfType<AlarmRaised>().Any(alarm => alarm.Code == AlarmCodes.HeatingTooSlow)))
        {
            RunSupervisor.Step(state, Plan, row, outputs);
        }

        RunSupervisor.Step(state, Plan, Cut(TripCodes.ReadingFell) with { AtSeconds = state.AtSeconds }, outputs);

        Assert.Contains(outputs, output => output is AlarmCleared { Code: AlarmCodes.HeatingTooSlow });
    }

    [Fact]
    public void A_closed_run_states_only_that_a_heater_went_off_with_it_and_a_time_that_is_none_is_a_bug()
    {
        var (state, outputs) = (RunSupervisor.Begin(Plan), new List<RunOutput>());
        Assert.Throws<ArgumentOutOfRangeException>(() => RunSupervisor.Step(state, Plan, Cut() with { AtSeconds = double.NaN }, outputs));
        RunSupervisor.Step(state, Plan, RunInput.Stop(0), outputs);
        var before = outputs.Count;

        RunSupervisor.Step(state, Plan, new HeaterTurnedOn(1, null, "R. Halden"), outputs);
        RunSupervisor.Step(state, Plan, Cut(wasOn: false), outputs);
        Assert.Equal(before, outputs.Count);
        RunSupervisor.Step(state, Plan, Cut(TripCodes.RunNotOpen), outputs);

        var cut = Assert.IsType<HeaterCut>(outputs[^1]);
        Assert.Equal((TripCodes.RunNotOpen, 0.0, before + 1), (cut.Code, cut.AtSeconds, outputs.Count));
        Assert.DoesNotContain(state.Result!.Findings, finding => finding.Code == FindingCodes.HeaterCut);
    }

    [Fact]
    public void Judged_again_from_rows_and_archived_facts_it_states_the_same() => Gen.Select(
        Gen.Int[0, Bench.Rows.Length - 1], Gen.Double[-1, 2], Gen.Bool, Pick.From([TripCodes.OperatorStop, TripCodes.ReadingSilent, TripCodes.ResultComplete])).List[0, 12].Sample(drawn =>
    {
        var (state, live) = (RunSupervisor.Begin(Plan), new List<RunOutput>());
        var acts = drawn.ToLookup(act => act.Item1);
        for (var index = 0; index < Bench.Rows.Length; index++)
        {
            RunSupervisor.Step(state, Plan, Bench.Rows[index], live);
            foreach (var (_, late, on, code) in acts[index])
            {
                var at = Bench.Rows[index].AtSeconds + late;
                RunSupervisor.Step(state, Plan, on ? new HeaterTurnedOn(at, null, "R. Halden") : Cut(code) with { AtSeconds = at }, live);
            }
        }

        RunSupervisor.Step(state, Plan, RunInput.Stop(state.AtSeconds), live);
        var again = new List<RunOutput>();
        RunReplay.RunWhole(Plan, Bench.Rows, JsonSerializer.Deserialize<List<RunOutput>>(Written(live))!, again);
        Assert.Equal(Written(live), Written(again));
    }, iter: 25);
}
