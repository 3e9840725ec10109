using System.Text.Json;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Runs;

public sealed class GuidedReplayTests
{
    private static readonly GuidedBench Bench = new() { FireCelsius = 231.5, BurnSeconds = 3 };

    // Null takes the newest one back.
    private static readonly Sighting?[] Seen = [.. Enum.GetValues<Sighting>().Select(seen => (Sighting?)seen), null, null];

    private static string Written(IEnumerable<RunOutput> outputs) => JsonSerializer.Serialize(outputs);

    // As they come out of an archive: read back from their text.
    private static List<PersonEntry> Archived(List<RunOutput> outputs) =>
        [.. JsonSerializer.Deserialize<List<RunOutput>>(Written(outputs))!.OfType<PersonEntry>()];

    [Fact]
    public void A_guided_run_judged_again_from_rows_and_observations_states_the_same_facts()
    {
        var live = Bench.Work();
        var again = new List<RunOutput>();

        RunReplay.Run(Bench.Plan, Bench.Rows, Archived(live.Outputs), again);

        Assert.Equal(Written(live.Outputs), Written(again));
    }

    [Fact]
    public void Without_its_observations_it_is_another_run()
    {
        Assert.Null(RunReplay.Run(Bench.Plan, Bench.Rows).Flash);
    }

    [Fact]
    public void Saving_and_loading_between_any_two_readings_changes_nothing()
    {
        var number = 0;

        var judged = Bench.Work(state => number++ % 37 == 0 ? RunSnapshot.Load(RunSnapshot.Save(state)) : state);

        Assert.Equal(Written(Bench.Work().Outputs), Written(judged.Outputs));
    }

    [Fact]
    public void Any_observations_at_any_moments_are_judged_again_to_the_same_facts()
    {
        // The observation's clock runs ahead of and behind the readings': the next reading may carry an earlier time.
        var rows = Bench.Rows.ToArray();
        Gen.Select(Gen.Int[0, rows.Length - 1], Gen.Double[-2, 3], Pick.From(Seen)).List[0, 40].Sample(made =>
        {
            var state = RunSupervisor.Begin(Bench.Plan);
            var live = new List<RunOutput>();
            var keys = made.ToLookup(key => key.Item1);
            for (var i = 0; i < rows.Length; i++)
            {
                RunSupervisor.Step(state, Bench.Plan, rows[i], live);
                foreach (var (_, late, seen) in keys[i])
                {
                    var at = rows[i].AtSeconds + late;
                    RunSupervisor.Step(state, Bench.Plan, seen is { } sight ? RunInput.Observation(at, sight) : RunInput.Withdrawal(at), live);
                }
            }

            RunSupervisor.Step(state, Bench.Plan, RunInput.Stop(rows[^1].AtSeconds), live);
            var again = new List<RunOutput>();
            RunReplay.Run(Bench.Plan, rows, Archived(live), again);

            Assert.Equal(Written(live), Written(again));
        }, iter: 30);
    }

    [Fact]
    public void A_row_out_of_all_time_moves_no_observation()
    {
        var live = Bench.Work();
        var rows = Bench.Rows.ToList();
        rows.Insert(rows.Count / 2, rows[0] with { AtSeconds = 1e12 });

        var again = RunReplay.Run(Bench.Plan, rows, Archived(live.Outputs));

        Assert.Equal(live.Result.Flash, again.Flash);
        Assert.Equal(live.Result.Applications, again.Applications);
    }
}
