using System.Text.Json;
using System.Text.Json.Nodes;
using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using Xunit;

namespace Acquire.Core.Tests.Runs;

/// <summary>How a second ignition detector comes to the supervisor, is kept, and falls silent. What is made of it is judged elsewhere.</summary>
public sealed class SecondDetectorTests
{
    private static readonly BenchTrace Usual = new() { PerSecond = 25, FireCelsius = null, Seed = 13 };

    // It sees what the first one sees, in a unit of its own.
    private static IEnumerable<ReadingRow> Told(IEnumerable<ReadingRow> rows, Func<double, bool>? speaks = null) => rows.Select(row => speaks?.Invoke(row.AtSeconds) ?? true
        ? row with { Present = row.Present | RowChannels.SecondDetector, SecondDetector = 14 + (0.2 * row.Detector) }
        : row);

    private static JsonObject Second(RunState state) => JsonNode.Parse(RunSnapshot.Save(state))!["Watch"]!["_second"]!["_history"]!.AsObject();

    [Fact]
    public void Without_a_second_detector_nothing_of_one_is_kept()
    {
        var plan = Usual.Plan;
        var state = RunSupervisor.Begin(plan);

        RunSupervisor.Step(state, plan, RunInput.Detector(1, 2), []);

        Assert.Null(JsonNode.Parse(RunSnapshot.Save(state))!["Watch"]!["_second"]);
        Assert.Null(RunSupervisor.Status(state, plan).SecondDetector);
    }

    [Fact]
    public void Its_readings_are_kept_beside_those_of_the_first_and_through_a_snapshot()
    {
        var (plan, run) = (Usual.Plan, Usual.Make());
        var state = RunSupervisor.Begin(plan);
        ReadingRow[] rows = [.. Told(run.Rows.Take(1000))];
        foreach (var row in rows)
        {
            RunSupervisor.Step(state, plan, row, []);
        }

        var kept = Second(RunSnapshot.Load(RunSnapshot.Save(state)));

        Assert.Equal(1000, kept["_count"]!.GetValue<int>());
        Assert.Equal(rows.Select(row => row.SecondDetector), kept["_values"]!.AsArray().Take(1000).Select(value => value!.GetValue<double>()));
        Assert.Equal(rows.Select(row => row.AtSeconds), kept["_times"]!.AsArray().Take(1000).Select(value => value!.GetValue<double>()));
        Assert.Equal(rows[^1].SecondDetector, RunSupervisor.Status(state, plan).SecondDetector);
        Assert.Equal(rows[^1].Detector, RunSupervisor.Status(state, plan).Detector);
    }

    [Fact]
    public void Of_one_row_it_is_taken_before_the_first_which_decides()
    {
        // Without a thermometer it is a reading of the first detector that closes a run that has cooled long enough; nothing is taken after that.
        var run = new BenchTrace { PerSecond = 25, FireSeconds = 8, Seed = 15 }.Make();
        var plan = run.Trace.Plan;
        var state = RunSupervisor.Begin(plan);
        foreach (var row in Told(run.Rows).TakeWhile(_ => state.Phase != RunPhase.Cooling))
        {
            RunSupervisor.Step(state, plan, row, []);
        }

        var at = state.AtSeconds;
        Assert.Equal(RunPhase.Cooling, state.Phase);
        for (var i = 1; i < 10_000 && state.Phase != RunPhase.Closed; i++)
        {
            at += 1;
            RunSupervisor.Step(state, plan, new ReadingRow(at, RowChannels.Detector | RowChannels.SecondDetector, 0, 100, false) { SecondDetector = at }, []);
        }

        Assert.Equal(RunPhase.Closed, state.Phase);
        Assert.Equal(at, RunSupervisor.Status(state, plan).SecondDetector);
    }

    [Theory]
    [InlineData(RunMode.Observed)]
    [InlineData(RunMode.Guided)]
    public void Each_detector_goes_forward_by_itself(RunMode mode)
    {
        foreach (var plan in new[] { Usual.Plan with { Mode = mode }, PortionBench.PlanOf("iso-3679-2022-b") with { ExpectedFlashCelsius = 60, Mode = mode, HasFlameSignal = true } })
        {
            var state = RunSupervisor.Begin(plan);
            foreach (var input in new[] { RunInput.Detector(5, 1), RunInput.SecondDetector(4, 10), RunInput.SecondDetector(4, 11), RunInput.SecondDetector(3, 12), RunInput.Detector(5.5, 2), RunInput.SecondDetector(4.5, 13) })
            {
                RunSupervisor.Step(state, plan, input, []);
            }

            Assert.Equal(2, state.NotForward);
            Assert.Equal(5.5, state.AtSeconds);
            Assert.Equal((2, 13), (RunSupervisor.Status(state, plan).Detector, RunSupervisor.Status(state, plan).SecondDetector));
            Assert.Equal(mode == RunMode.Guided ? null : 2, JsonNode.Parse(RunSnapshot.Save(state))!["Watch"]!["_second"]?["_history"]!["_count"]!.GetValue<int>());
        }
    }

    [Fact]
    public void A_value_whose_square_is_no_number_is_cut_off_for_the_judgement_and_shown_as_it_came()
    {
        foreach (var plan in new[] { Usual.Plan, PortionBench.PlanOf("iso-3679-2022-b") with { ExpectedFlashCelsius = 60, Mode = RunMode.Observed, HasFlameSignal = true } })
        {
            var state = RunSupervisor.Begin(plan);

            RunSupervisor.Step(state, plan, RunInput.SecondDetector(1, -1e300), []);

            Assert.Equal(-RunInput.LargestDetector, Second(state)["_values"]![0]!.GetValue<double>());
            Assert.Equal(-1e300, RunSupervisor.Status(state, plan).SecondDetector);
        }
    }

    [Fact]
    public void One_that_falls_silent_is_unknown_until_it_speaks_again_and_the_run_goes_on_with_the_first()
    {
        var run = Usual.Make();
        var plan = run.Trace.Plan;
        var state = RunSupervisor.Begin(plan);
        double from = run.Passes[2].Start, to = run.Passes[5].Start, spoke = 0;
        foreach (var row in Told(run.Rows, t => t < from || t > to))
        {
            RunSupervisor.Step(state, plan, row, []);
            spoke = row.Has(RowChannels.SecondDetector) ? row.AtSeconds : spoke;
            if (state.Phase != RunPhase.Closed)
            {
                Assert.Equal(row.AtSeconds - spoke <= 5, RunSupervisor.Status(state, plan).SecondDetector is not null);
            }
        }

        RunSupervisor.Step(state, plan, RunInput.Stop(state.AtSeconds), []);

        var finding = Assert.Single(state.Result!.Findings, found => found.Code == FindingCodes.SecondDetectorSilent);
        Assert.Equal((FindingWeight.Note, 5.0), (finding.Weight, finding.Value!.Value));
        Assert.InRange(finding.TimeSeconds, from - 0.1, from);
        Assert.Equal(Verdict.Valid, state.Result.Verdict);
    }

    [Fact]
    public void One_that_is_slower_than_the_rows_or_comes_in_rows_of_its_own_is_never_silent()
    {
        var run = Usual.Make();
        var half = run.Passes[5].Start;

        run.Judge(run.Rows.Zip(Told(run.Rows)).Select((pair, i) => i % 20 == 0 && pair.First.AtSeconds < half ? pair.Second : pair.First)).Lacks(FindingCodes.SecondDetectorSilent);
        run.Judge(run.Rows.SelectMany(row => row.AtSeconds < half
            ? new[] { new ReadingRow(row.AtSeconds, RowChannels.SecondDetector, 0, 0, false) { SecondDetector = 14 + (0.2 * row.Detector) }, row }
            : [row])).Lacks(FindingCodes.SecondDetectorSilent);
    }

    [Fact]
    public void One_that_tells_only_changes_is_not_said_to_stand_still_by_what_it_told_once()
    {
        var run = Usual.Make();
        var told = run.Rows.Select((row, i) => i % 1000 == 0 ? row with { Present = row.Present | RowChannels.SecondDetector, SecondDetector = 14 } : row).ToArray();

        Assert.InRange(told.Count(row => row.Has(RowChannels.SecondDetector)), 2, 19);
        run.Judge(told).Lacks(FindingCodes.SecondDetectorStill);
    }

    [Fact]
    public void In_a_guided_run_no_detector_judges_and_none_is_missed()
    {
        var run = Usual.Make();
        var half = run.Passes[5].Start;

        run.Judge(Told(run.Rows, t => t < half), run.Trace.Plan with { Mode = RunMode.Guided }).Lacks(FindingCodes.SecondDetectorSilent);
        run.Judge(Told(run.Rows).Select(row => row with { SecondDetector = 14 }), run.Trace.Plan with { Mode = RunMode.Guided }).Lacks(FindingCodes.SecondDetectorStill);
    }

    [Fact]
    public void In_an_equilibrium_run_its_silence_is_noted_too()
    {
        var plan = PortionBench.PlanOf("iso-3679-2022-b") with { ExpectedFlashCelsius = 60, Mode = RunMode.Observed, HasFlameSignal = true };
        var state = RunSupervisor.Begin(plan);
        var rows = Enumerable.Range(0, 4000).Select(i => new ReadingRow(i * 0.1, RowChannels.Temperature | RowChannels.Detector | RowChannels.Flame, 25 + (0.01 * i), 100 + (i % 3), false));
        foreach (var row in Told(rows, t => t < 200))
        {
            RunSupervisor.Step(state, plan, row, []);
        }

        RunSupervisor.Step(state, plan, RunInput.Stop(state.AtSeconds), []);

        Assert.Contains(state.Result!.Findings, finding => finding.Code == FindingCodes.SecondDetectorSilent && finding.Weight == FindingWeight.Note);
    }

    [Fact]
    public void Saved_and_loaded_at_every_tenth_row_it_gives_the_same_facts()
    {
        var run = (Usual with { PerSecond = 10 }).Make();
        var plan = run.Trace.Plan;
        ReadingRow[] rows = [.. Told(run.Rows, t => t < run.Passes[7].Start)];

        Assert.Equal(Facts(rows, plan, _ => false), Facts(rows, plan, i => i % 10 == 0 && rows[i].AtSeconds > run.Passes[4].Start && rows[i].AtSeconds < run.Passes[8].Start));
    }

    private static string Facts(ReadingRow[] rows, RunPlan plan, Predicate<int> saves)
    {
        var (state, outputs) = (RunSupervisor.Begin(plan), new List<RunOutput>());
        for (var i = 0; i < rows.Length; i++)
        {
            state = saves(i) ? RunSnapshot.Load(RunSnapshot.Save(state)) : state;
            RunSupervisor.Step(state, plan, rows[i], outputs);
        }

        RunSupervisor.Step(state, plan, RunInput.Stop(state.AtSeconds), outputs);
        return JsonSerializer.Serialize(outputs);
    }
}
