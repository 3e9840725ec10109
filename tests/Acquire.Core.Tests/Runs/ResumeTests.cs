using System.Text.Json;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Simulator.Driven;
using Acquire.Core.Tests.Traces;
using Acquire.Core.Thermometry;
using Acquire.Simulator;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Runs;

/// <summary>A run that is made anew from its record at any moment is the run that was never broken off.</summary>
public sealed class ResumeTests(ITestOutputHelper output)
{
    /// <summary>Runs by the way they are made; played once.</summary>
    private static readonly Dictionary<string, Lazy<Record>> Records = new()
    {
        ["observed, with a flame signal"] = new(() => Of(new BenchTrace { PerSecond = 25, ShortBurns = [3], Seed = 401 }.Make())),
        ["observed, without a flame signal"] = new(() => Of(new BenchTrace { PerSecond = 25, HasFlame = false, PassHeight = 12, Seed = 402 }.Make())),
        ["guided, burning twice"] = new(() => Of(new GuidedBench { FireCelsius = 231.5, BurnSeconds = 3 })),
        ["driven along a ramp"] = new(() => Of(DrivenSpecimens.Of("iso-2719-2016-a", 92, 3))),
        ["driven by steps with fresh portions"] = new(() => Of(DrivenSpecimens.Of("iso-3679-2022-b", 61.3, 1))),
    };

    public static TheoryData<string> Names => [.. Records.Keys];

    [Theory]
    [MemberData(nameof(Names))]
    public void The_state_after_any_row_is_made_anew_from_rows_and_facts_and_the_run_ends_as_if_it_had_not_been_broken_off(string name)
    {
        var record = Records[name].Value;
        var rows = record.Rows.Length;
        var beyond = 0;
        Gen.Select(Gen.Int[1, rows], Gen.Int[0, 40]).Sample((killedAfter, lost) =>
        {
            var (alive, facts) = Live(record, killedAfter);
            var archived = Archived(facts, lost);
            var thermometer = Reader(record.Plan);
            var found = new List<RunOutput>();

            var state = RunReplay.Rebuild(record.Plan, record.Rows.Take(killedAfter).Select(row => thermometer.Take(row)), archived, found);

            Assert.Equal(Written(facts), Written(found));
            Assert.Equal(RunSnapshot.Save(alive), RunSnapshot.Save(state));
            beyond += found.Count - archived.Count;
            GoOn(record, state, thermometer, killedAfter, found);
            Assert.Equal(Written(record.Facts), Written(found));
        }, iter: 25);
        output.WriteLine($"{rows} rows, {record.Facts.Length} facts; {beyond} facts that were not archived were found again");
    }

    [Fact]
    public void A_record_that_is_broken_off_again_and_again_within_moments_is_judged_without_failing()
    {
        var plan = new BenchTrace { HasFlame = false }.Plan;
        Gen.Select(Gen.Int[1, 400], Gen.Double[0.3, 20], Gen.Int[0, 1_000_000]).List[1, 12].Sample(bursts =>
        {
            var (state, facts, at) = (RunSupervisor.Begin(plan), new List<RunOutput>(), 0.0);
            foreach (var (rows, gap, seed) in bursts)
            {
                var random = new Random(seed);
                for (var row = 0; row < rows; row++, at += 0.005)
                {
                    RunSupervisor.Step(state, plan, new ReadingRow(at, RowChannels.Temperature | RowChannels.Detector, 60 + (at * 0.2), random.NextDouble(), false), facts);
                }

                at += gap;
            }

            RunSupervisor.Step(state, plan, RunInput.Stop(at), facts);
            Assert.NotNull(state.Result);
        }, iter: 150);
    }

    [Fact]
    public void That_it_was_taken_up_is_a_fact_behind_the_newest_reading_and_changes_no_result_where_no_row_is_missing()
    {
        var record = Records["observed, with a flame signal"].Value;
        var killedAfter = record.Rows.Length / 2;
        var (state, facts) = Live(record, killedAfter);

        RunSupervisor.Step(state, record.Plan, Resumed, facts);
        GoOn(record, state, Reader(record.Plan, record.Rows.Take(killedAfter)), killedAfter, facts);

        var stated = Assert.Single(facts.OfType<RunResumed>());
        Assert.Equal(record.Rows[killedAfter - 1].AtSeconds, stated.ReadingSeconds);
        Assert.Equal(Written(record.Facts), Written(facts.Where(fact => fact is not RunResumed)));
        var again = new List<RunOutput>();
        RunReplay.RunWhole(record.Plan, record.Rows, JsonSerializer.Deserialize<List<RunOutput>>(Written(facts))!, again);
        Assert.Equal(Written(facts), Written(again));
    }

    [Fact]
    public void Nobody_saw_whether_it_went_out_while_the_service_was_away_so_that_burn_is_no_fire_point_and_its_alarm_stands_until_somebody_says_so()
    {
        var bench = new GuidedBench();
        var rows = bench.Rows.ToArray();
        var burning = Array.FindIndex(rows, row => row.TemperatureCelsius > 232);
        var (state, facts) = (RunSupervisor.Begin(bench.Plan), new List<RunOutput>());
        foreach (var row in rows[..burning])
        {
            RunSupervisor.Step(state, bench.Plan, row, facts);
        }

        var at = rows[burning - 1].AtSeconds;
        RunSupervisor.Step(state, bench.Plan, RunInput.Observation(at, Sighting.Burning), facts);
        RunSupervisor.Step(state, bench.Plan, Resumed, facts);
        foreach (var row in rows[burning..].Where(row => row.AtSeconds > at + 60))
        {
            RunSupervisor.Step(state, bench.Plan, row, facts);
        }

        Assert.DoesNotContain(facts, fact => fact is FireDetected);
        Assert.Equal([Alarms.AlarmCodes.SpecimenBurning], RunSupervisor.Alarms(state).Select(alarm => alarm.Code));
        RunSupervisor.Step(state, bench.Plan, RunInput.Observation(state.AtSeconds, Sighting.WentOut), facts);
        Assert.Empty(RunSupervisor.Alarms(state));
        Assert.DoesNotContain(facts, fact => fact is BurnEnded);
    }

    [Fact]
    public void What_happened_to_the_record_stands_also_where_an_observation_before_it_is_taken_back()
    {
        var bench = new GuidedBench();
        var (state, facts) = (RunSupervisor.Begin(bench.Plan), new List<RunOutput>());
        foreach (var row in bench.Rows.Take(50))
        {
            RunSupervisor.Step(state, bench.Plan, row, facts);
        }

        RunSupervisor.Step(state, bench.Plan, RunInput.Observation(state.AtSeconds, Sighting.Nothing), facts);
        RunSupervisor.Step(state, bench.Plan, Resumed, facts);
        RunSupervisor.Step(state, bench.Plan, RunInput.Withdrawal(state.AtSeconds + 1), facts);

        Assert.Contains(StandingFacts.Of(facts), fact => fact is RunResumed);
        Assert.DoesNotContain(StandingFacts.Of(facts), fact => fact is ObservationMade);
    }

    private static RunResumed Resumed => new(0, null, new(2026, 11, 26, 9, 0, 0, TimeSpan.Zero), 42, 5, "1.0.0", "1.0.1");

    private static Record Of(BenchRun run) => Whole(run.Trace.Plan, run.Rows, []);

    private static Record Of(GuidedBench bench) => Whole(bench.Plan, [.. bench.Rows], bench.Work().Outputs);

    private static Record Of(DrivenOptions tester)
    {
        var run = DrivenRun.Play(DrivenRunOptions.For(tester with { Run = tester.Run with { RowsPerSecond = 25 } }));
        return Whole(run.Plan, [.. run.Rows], run.Facts);
    }

    private static Record Whole(RunPlan plan, ReadingRow[] rows, IEnumerable<RunOutput> acts)
    {
        var facts = new List<RunOutput>();
        RunReplay.RunWhole(plan, rows, acts, facts);
        return new(plan, rows, [.. facts]);
    }

    private static ThermometerReader Reader(RunPlan plan, params IEnumerable<ReadingRow> taken)
    {
        var reader = new ThermometerReader(plan.Thermometer, plan.IsEquilibrium);
        foreach (var row in taken)
        {
            reader.Take(row);
        }

        return reader;
    }

    private static (RunState State, List<RunOutput> Facts) Live(Record record, int rows)
    {
        var (state, facts) = (RunSupervisor.Begin(record.Plan), new List<RunOutput>());
        Play(record, state, Reader(record.Plan), 0, rows, facts);
        return (state, facts);
    }

    private static void GoOn(Record record, RunState state, ThermometerReader thermometer, int from, List<RunOutput> facts)
    {
        Play(record, state, thermometer, from, record.Rows.Length, facts);
        RunSupervisor.Step(state, record.Plan, RunInput.Stop(state.AtSeconds), facts);
    }

    // Rows, and behind each what was done before the next.
    private static void Play(Record record, RunState state, ThermometerReader thermometer, int from, int to, List<RunOutput> facts)
    {
        for (var i = from; i < to; i++)
        {
            RunSupervisor.Step(state, record.Plan, thermometer.Take(record.Rows[i]), facts);
            foreach (var act in record.Acts[i + 1])
            {
                Act(state, record.Plan, act, facts);
            }
        }
    }

    private static void Act(RunState state, RunPlan plan, RunOutput act, List<RunOutput> facts)
    {
        if (act is HeaterFact heater)
        {
            RunSupervisor.Step(state, plan, heater, facts);
        }
        else
        {
            RunSupervisor.Step(state, plan, ((PersonEntry)act).AsInput(), facts);
        }
    }

    // The newest facts were not archived yet; what a person did or the heater was, was not acknowledged then, so it was.
    private static List<RunOutput> Archived(List<RunOutput> facts, int lost)
    {
        var kept = facts.Count;
        while (kept > 0 && lost-- > 0 && facts[kept - 1] is not (PersonEntry or HeaterFact))
        {
            kept--;
        }

        return JsonSerializer.Deserialize<List<RunOutput>>(Written(facts[..kept]))!;
    }

    private static string Written(IEnumerable<RunOutput> facts) => JsonSerializer.Serialize(facts);

    private sealed record Record(RunPlan Plan, ReadingRow[] Rows, RunOutput[] Facts)
    {
        /// <summary>By the number of rows that came before.</summary>
        public ILookup<int, RunOutput> Acts { get; } = Facts.Where(fact => fact is PersonEntry or HeaterFact)
            .ToLookup(act => Array.FindIndex(Rows, row => row.AtSeconds > (act is PersonEntry entry ? entry.ReadingSeconds : ((HeaterFact)act).ReadingSeconds)!.Value) is >= 0 and var next ? next : Rows.Length);
    }
}
