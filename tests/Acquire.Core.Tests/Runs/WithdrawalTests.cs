using System.Text.Json;
using Acquire.Core.Alarms;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Runs;

public sealed class WithdrawalTests
{
    private static readonly GuidedBench Bench = new() { FireCelsius = 231.5, BurnSeconds = 3 };
    private static readonly ReadingRow[] Rows = [.. Bench.Rows];

    // A key pressed in error directly after a row, and taken back so many rows later; null: not at all.
    private sealed record Slip(int Row, Sighting Seen, int? BackAfterRows);

    private static string Written<T>(T value) => JsonSerializer.Serialize(value);

    private static RunState Feed(IEnumerable<ReadingRow> rows, RunState state, List<RunOutput> outputs)
    {
        foreach (var row in rows)
        {
            RunSupervisor.Step(state, Bench.Plan, row, outputs);
        }

        return state;
    }

    // The right keys of the usual run, with a slip between them.
    private static Judged Work(Slip? slip, Func<RunState, RunState>? between = null)
    {
        var keys = Bench.Work().Outputs.OfType<ObservationMade>().ToLookup(made => Array.FindLastIndex(Rows, row => row.AtSeconds <= made.ReadingSeconds));
        var (state, outputs) = (RunSupervisor.Begin(Bench.Plan), new List<RunOutput>());
        for (var i = 0; i < Rows.Length; i++)
        {
            Feed([Rows[i]], state, outputs);
            if (slip?.Row == i)
            {
                RunSupervisor.Step(state, Bench.Plan, RunInput.Observation(Rows[i].AtSeconds + 0.01, slip.Seen, "Ada"), outputs);
            }

            if (slip is { BackAfterRows: { } later } && slip.Row + later == i)
            {
                RunSupervisor.Step(state, Bench.Plan, RunInput.Withdrawal(Rows[i].AtSeconds + 0.02, "Ben"), outputs);
            }

            foreach (var made in keys[i])
            {
                RunSupervisor.Step(state, Bench.Plan, RunInput.Observation(made.AtSeconds, made.Seen), outputs);
            }

            state = between?.Invoke(state) ?? state;
        }

        RunSupervisor.Step(state, Bench.Plan, RunInput.Stop(state.AtSeconds), outputs);
        return new(state.Result!, outputs);
    }

    private static bool IsAlarm(RunOutput fact) => fact is AlarmRaised or AlarmCleared;

    [Fact]
    public void Any_key_at_any_moment_that_is_taken_back_in_time_leaves_the_run_as_if_it_had_not_been_pressed()
    {
        var plain = Work(null);
        var right = plain.Outputs.OfType<ObservationMade>().Select(made => Array.FindLastIndex(Rows, row => row.AtSeconds <= made.ReadingSeconds)).ToArray();
        Gen.Select(Gen.Int[0, Rows.Length - 100], Pick.From(Enum.GetValues<Sighting>()), Gen.Int[0, 95]).Sample((row, seen, later) =>
        {
            // A right key between the two is the newest then, and would be taken back in its place.
            if (right.Any(key => key >= row && key < row + later))
            {
                return;
            }

            var slipped = Work(new(row, seen, later));

            Assert.Equal(Written(plain.Result), Written(slipped.Result));
            Assert.Equal(
                Written(plain.Outputs.Where(fact => !IsAlarm(fact))),
                Written(StandingFacts.Of(slipped.Outputs).Where(fact => !IsAlarm(fact))));
        }, iter: 60);
    }

    [Fact]
    public void The_record_keeps_both_with_their_times_and_persons()
    {
        var row = Array.FindIndex(Rows, one => one.TemperatureCelsius >= 207);

        var judged = Work(new(row, Sighting.Flash, 30));

        var at = Rows[row].AtSeconds;
        var made = Assert.Single(judged.Outputs.OfType<ObservationMade>(), fact => fact.Person is not null);
        var back = Assert.Single(judged.Outputs.OfType<ObservationWithdrawn>());
        Assert.Equal(new ObservationMade(at + 0.01, at, Sighting.Flash, "Ada"), made);
        Assert.Equal(new ObservationWithdrawn(Rows[row + 30].AtSeconds + 0.02, Rows[row + 30].AtSeconds, at + 0.01, Sighting.Flash, "Ben"), back);
        Assert.Contains(judged.Outputs, fact => fact is FlashDetected flash && flash.AtSeconds == made.AtSeconds);
        Assert.DoesNotContain(StandingFacts.Of(judged.Outputs), fact => fact is FlashDetected flash && flash.AtSeconds == made.AtSeconds);
    }

    [Fact]
    public void Saving_and_loading_between_any_two_readings_changes_nothing()
    {
        var slip = new Slip(Array.FindIndex(Rows, row => row.TemperatureCelsius >= 207), Sighting.Burning, 60);

        var saved = Work(slip, state => RunSnapshot.Load(RunSnapshot.Save(state)));

        Assert.Equal(Written(Work(slip).Outputs), Written(saved.Outputs));
    }

    [Fact]
    public void An_observation_can_be_taken_back_for_ten_seconds_until_the_next_and_once()
    {
        var rows = Rows.TakeWhile(row => row.TemperatureCelsius < 210).ToArray();
        var (state, outputs) = (RunSupervisor.Begin(Bench.Plan), new List<RunOutput>());
        Feed(rows, state, outputs);
        var at = state.AtSeconds;
        Assert.Null(RunSupervisor.Status(state, Bench.Plan).WithdrawableSighting);

        RunSupervisor.Step(state, Bench.Plan, RunInput.Observation(at, Sighting.Nothing), outputs);
        RunSupervisor.Step(state, Bench.Plan, RunInput.Observation(at + 1, Sighting.Halo), outputs);
        RunSupervisor.Step(state, Bench.Plan, RunInput.Tick(at + 3), outputs);
        var status = RunSupervisor.Status(state, Bench.Plan);
        Assert.Equal((Sighting.Halo, at + 1, 8.0), (status.WithdrawableSighting!.Value, status.WithdrawableAtSeconds!.Value, Math.Round(status.WithdrawableSeconds!.Value, 9)));
        RunSupervisor.Step(state, Bench.Plan, RunInput.Withdrawal(at + 3), outputs);
        RunSupervisor.Step(state, Bench.Plan, RunInput.Withdrawal(at + 3), outputs);
        Assert.Equal(Sighting.Halo, Assert.Single(outputs.OfType<ObservationWithdrawn>()).Seen);
        Assert.Equal(1, RunSupervisor.Status(state, Bench.Plan).Applications);

        RunSupervisor.Step(state, Bench.Plan, RunInput.Observation(at + 4, Sighting.Halo), outputs);
        RunSupervisor.Step(state, Bench.Plan, RunInput.Withdrawal(at + 14.01), outputs);
        Assert.Single(outputs.OfType<ObservationWithdrawn>());
        RunSupervisor.Step(state, Bench.Plan, RunInput.Tick(at + 14.01), outputs);
        Assert.Null(RunSupervisor.Status(state, Bench.Plan).WithdrawableSighting);
    }

    [Fact]
    public void A_prompt_that_was_answered_in_error_stands_again()
    {
        var (state, outputs) = (RunSupervisor.Begin(Bench.Plan), new List<RunOutput>());
        foreach (var row in Rows)
        {
            RunSupervisor.Step(state, Bench.Plan, row, outputs);
            if (outputs.OfType<ApplicationPrompted>().Any())
            {
                break;
            }
        }

        RunSupervisor.Step(state, Bench.Plan, RunInput.Observation(state.AtSeconds + 0.5, Sighting.Nothing), outputs);
        Assert.Null(RunSupervisor.Status(state, Bench.Plan).PromptNumber);
        RunSupervisor.Step(state, Bench.Plan, RunInput.Withdrawal(state.AtSeconds + 1), outputs);

        Assert.Equal((1, 0), (RunSupervisor.Status(state, Bench.Plan).PromptNumber, RunSupervisor.Status(state, Bench.Plan).Applications));
    }

    [Fact]
    public void The_alarm_of_a_fire_ends_when_burning_is_taken_back_and_sounds_again_when_its_end_is()
    {
        var (state, outputs) = (RunSupervisor.Begin(Bench.Plan), new List<RunOutput>());
        Feed(Rows.TakeWhile(row => row.TemperatureCelsius < 220), state, outputs);
        var at = state.AtSeconds;

        RunSupervisor.Step(state, Bench.Plan, RunInput.Observation(at + 0.1, Sighting.Burning), outputs);
        RunSupervisor.Step(state, Bench.Plan, RunInput.Withdrawal(at + 2), outputs);
        Assert.Equal([AlarmCodes.SpecimenBurning], outputs.OfType<AlarmCleared>().Select(alarm => alarm.Code));
        Assert.Null(RunSupervisor.Status(state, Bench.Plan).BurningSeconds);
        RunSupervisor.Step(state, Bench.Plan, RunInput.Observation(at + 3, Sighting.Burning), outputs);
        RunSupervisor.Step(state, Bench.Plan, RunInput.Observation(at + 4, Sighting.WentOut), outputs);
        RunSupervisor.Step(state, Bench.Plan, RunInput.Withdrawal(at + 9), outputs);

        var sounded = outputs.OfType<AlarmRaised>().Where(alarm => alarm.Code == AlarmCodes.SpecimenBurning).ToArray();
        Assert.Equal([at + 0.1, at + 3, at + 9], sounded.Select(alarm => alarm.AtSeconds));
        Assert.Single(sounded.Select(alarm => alarm.Text).Distinct());
        Assert.Equal(6, RunSupervisor.Status(state, Bench.Plan).BurningSeconds!.Value, tolerance: 1e-9);
        Assert.Equal(at + 3, Assert.Single(StandingFacts.Of(outputs).OfType<FireDetected>()).OnsetSeconds);
    }

    [Fact]
    public void A_run_that_is_not_guided_has_nothing_to_take_back()
    {
        var plan = Bench.Plan with { Mode = RunMode.Observed };
        var (state, outputs) = (RunSupervisor.Begin(plan), new List<RunOutput>());

        RunSupervisor.Step(state, plan, RunInput.Observation(1, Sighting.Flash), outputs);
        RunSupervisor.Step(state, plan, RunInput.Withdrawal(2), outputs);

        Assert.Empty(outputs);
    }

    [Fact]
    public void Rows_whose_time_stands_still_do_not_fill_the_memory_of_what_can_be_taken_back()
    {
        var (state, outputs) = (RunSupervisor.Begin(Bench.Plan), new List<RunOutput>());
        Feed(Rows[..100], state, outputs);
        RunSupervisor.Step(state, Bench.Plan, RunInput.Observation(state.AtSeconds, Sighting.Nothing), outputs);

        Feed(Enumerable.Repeat(Rows[50], 10_001), state, outputs);

        Assert.Null(RunSupervisor.Status(state, Bench.Plan).WithdrawableSighting);
    }
}
