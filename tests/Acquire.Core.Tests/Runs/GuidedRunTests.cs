using Acquire.Core.Alarms;
using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Core.Tests.Traces;
using Xunit;

namespace Acquire.Core.Tests.Runs;

public sealed class GuidedRunTests
{
    // ISO 2592: first application (23 ± 5) °C below the expected flash point (value from memory), then every 2 °C; fire point: at least 5 s.
    private static readonly GuidedBench Usual = new();

    private static ObservationMade[] Keyed(Judged judged) => [.. judged.Outputs.OfType<ObservationMade>()];

    [Fact]
    public void A_run_with_a_thermometer_and_a_person_is_valid_without_a_detector()
    {
        var judged = Usual.Work();

        Assert.True(judged.Result.Verdict == Verdict.Valid, judged.Story);
        judged.Lacks(FindingCodes.DetectorDead);
        judged.Lacks(FindingCodes.ApplicationUnconfirmed);
        Assert.All(judged.Result.Applications, made => Assert.Equal(ApplicationEvidence.Person, made.Evidence));
        Assert.InRange(judged.Result.Flash!.ObservedCelsius, 225.5, 227.6);
        Assert.InRange(judged.Result.Fire!.ObservedCelsius, 235.5, 237.6);
    }

    [Fact]
    public void The_flash_stands_at_the_moment_of_the_key_and_the_temperature_then()
    {
        var judged = Usual.Work();

        var key = Keyed(judged).First(made => made.Seen == Sighting.Flash);
        Assert.Equal(key.AtSeconds, judged.Result.Flash!.TimeSeconds);
        var near = Usual.Rows.MinBy(row => Math.Abs(row.AtSeconds - key.AtSeconds));
        Assert.Equal(near.TemperatureCelsius, judged.Result.Flash.ObservedCelsius, tolerance: 0.2);
    }

    [Fact]
    public void Each_due_application_is_asked_for_once_and_shortly_before_it_is_due()
    {
        var judged = Usual.Work();

        var prompts = judged.Outputs.OfType<ApplicationPrompted>().ToArray();
        Assert.Equal(Enumerable.Range(1, prompts.Length), prompts.Select(prompt => prompt.Number));
        Assert.Equal(203, prompts[0].DueCelsius);
        Assert.All(prompts, prompt =>
        {
            var read = Usual.Rows.Last(row => row.AtSeconds <= prompt.AtSeconds).TemperatureCelsius;
            Assert.InRange(prompt.DueCelsius - read, 0, 0.8);
        });
        judged.Lacks(FindingCodes.ApplicationEarly);
    }

    [Fact]
    public void A_prompt_answered_at_once_is_not_early()
    {
        (Usual with { AnswerSeconds = 0.01, Plan = Usual.Plan with { PromptLeadSeconds = 30 } }).Work().Lacks(FindingCodes.ApplicationEarly);
    }

    [Fact]
    public void A_prompt_stands_in_the_status_until_it_is_answered()
    {
        var plan = Usual.Plan;
        var state = RunSupervisor.Begin(plan);
        var outputs = new List<RunOutput>();
        foreach (var row in Usual.Rows)
        {
            RunSupervisor.Step(state, plan, row, outputs);
            if (outputs.OfType<ApplicationPrompted>().Any())
            {
                break;
            }

            Assert.Null(RunSupervisor.Status(state, plan).PromptNumber);
        }

        Assert.Equal((1, 203.0), (RunSupervisor.Status(state, plan).PromptNumber, RunSupervisor.Status(state, plan).PromptDueCelsius));
        RunSupervisor.Step(state, plan, RunInput.Observation(state.AtSeconds + 0.5, Sighting.Nothing), outputs);
        Assert.Null(RunSupervisor.Status(state, plan).PromptNumber);
        Assert.Null(RunSupervisor.Status(state, plan).PromptDueCelsius);
    }

    [Fact]
    public void A_prompt_that_is_not_answered_is_a_missed_application()
    {
        var judged = (Usual with { Unanswered = [4] }).Work();

        Assert.Equal(FindingWeight.Doubtful, judged.Only(FindingCodes.ApplicationMissed).Weight);
        Assert.Null(judged.Result.Flash);
    }

    [Fact]
    public void A_late_answer_is_a_late_application()
    {
        var judged = (Usual with { AnswerSeconds = 14 }).Work();

        Assert.Contains(FindingCodes.ApplicationLate, judged.Codes);
        Assert.NotEqual(Verdict.Valid, judged.Result.Verdict);
    }

    [Fact]
    public void A_halo_never_counts()
    {
        var judged = (Usual with { Before = Sighting.Halo, FlashCelsius = 400, FireCelsius = 400 }).Work();

        Assert.Null(judged.Result.Flash);
        judged.Only(FindingCodes.NoFlash);
        Assert.True(judged.Result.Applications.Count > 15, judged.Story);
        Assert.DoesNotContain(judged.Result.Applications, made => made.Flash);
    }

    [Fact]
    public void A_flash_at_the_first_application_makes_the_run_invalid()
    {
        var judged = (Usual with { FlashCelsius = 150 }).Work();

        Assert.Equal(FindingWeight.Invalid, judged.Only(FindingCodes.FlashAtFirstApplication).Weight);
        Assert.Equal(Verdict.Invalid, judged.Result.Verdict);
    }

    [Theory]
    [InlineData(4.9, false)]
    [InlineData(5.0, true)]
    [InlineData(30.0, true)]
    [InlineData(null, true)]
    public void A_fire_needs_the_seconds_of_the_method_between_the_keys_or_by_the_readings(double? seconds, bool fire)
    {
        var judged = (Usual with { BurnSeconds = seconds, FireCelsius = 239.5 }).Work();

        Assert.True(fire == judged.Result.Fire is not null, judged.Story);
        var burning = Keyed(judged).First(made => made.Seen == Sighting.Burning);
        var stated = judged.Outputs.OfType<FireDetected>().SingleOrDefault();
        Assert.Equal(fire ? burning.AtSeconds : null, stated?.OnsetSeconds);
        if (fire)
        {
            Assert.InRange(stated!.AtSeconds - burning.AtSeconds, 5, 5.11);
            return;
        }

        Assert.Equal(seconds!.Value, judged.Outputs.OfType<BurnEnded>().First().DurationSeconds, tolerance: 1e-9);
    }

    [Theory]
    [InlineData(2, 1)]
    [InlineData(5.5, 2)]
    public void A_flash_that_burns_on_is_one_application_and_burns_since_the_flash(double later, int applications)
    {
        var plan = Usual.Plan;
        var state = RunSupervisor.Begin(plan);
        var outputs = new List<RunOutput>();
        foreach (var row in Usual.Rows.TakeWhile(row => row.TemperatureCelsius < 220))
        {
            RunSupervisor.Step(state, plan, row, outputs);
        }

        var flash = state.AtSeconds + 0.1;
        RunSupervisor.Step(state, plan, RunInput.Observation(flash, Sighting.Flash), outputs);
        RunSupervisor.Step(state, plan, RunInput.Observation(flash + later, Sighting.Burning), outputs);

        Assert.Equal(applications, outputs.OfType<ApplicationJudged>().Count());
        Assert.Equal(applications == 1 ? later : 0, RunSupervisor.Status(state, plan).BurningSeconds!.Value, tolerance: 1e-6);
        RunSupervisor.Step(state, plan, RunInput.Tick(flash + 5 + (applications == 1 ? 0 : later)), outputs);
        Assert.Equal(applications == 1 ? flash : flash + later, Assert.Single(outputs.OfType<FireDetected>()).OnsetSeconds);
    }

    [Fact]
    public void Burning_is_alarmed_at_once_and_until_it_went_out()
    {
        var judged = Usual.Work();

        var keys = Keyed(judged);
        Assert.Equal(keys.Single(made => made.Seen == Sighting.Burning).AtSeconds, judged.Outputs.OfType<AlarmRaised>().Single(alarm => alarm.Code == AlarmCodes.SpecimenBurning).AtSeconds);
        Assert.Equal(keys.Single(made => made.Seen == Sighting.WentOut).AtSeconds, judged.Outputs.OfType<AlarmCleared>().Single(alarm => alarm.Code == AlarmCodes.SpecimenBurning).AtSeconds);
    }

    [Fact]
    public void A_flash_while_the_thermometer_is_silent_has_no_temperature()
    {
        var plan = Usual.Plan;
        var state = RunSupervisor.Begin(plan);
        var outputs = new List<RunOutput>();
        foreach (var row in Usual.Rows.TakeWhile(row => row.TemperatureCelsius < 220))
        {
            RunSupervisor.Step(state, plan, row, outputs);
        }

        RunSupervisor.Step(state, plan, RunInput.Observation(state.AtSeconds + 4, Sighting.Flash), outputs);

        Assert.Null(outputs.OfType<FlashDetected>().Single().TemperatureCelsius);
        Assert.Contains(outputs.OfType<FindingRaised>(), raised => raised.Finding is { Code: FindingCodes.PointNotRead, Weight: FindingWeight.Invalid });
    }

    [Fact]
    public void Detector_and_flame_signal_are_kept_and_judge_nothing()
    {
        // A detector that sees everything, and a person who saw nothing.
        var run = new BenchTrace { PerSecond = 25, Seed = 72 }.Make();

        var judged = run.Judge(plan: run.Trace.Plan with { Mode = RunMode.Guided });

        Assert.Null(judged.Result.Flash);
        Assert.Empty(judged.Result.Applications);
    }

    [Fact]
    public void What_is_seen_before_the_first_reading_is_recorded_and_judges_nothing()
    {
        var state = RunSupervisor.Begin(Usual.Plan);
        var outputs = new List<RunOutput>();

        RunSupervisor.Step(state, Usual.Plan, RunInput.Observation(1, Sighting.Flash), outputs);

        Assert.Equal([new ObservationMade(1, null, Sighting.Flash)], outputs);
    }

    [Theory]
    [InlineData(-1)]
    [InlineData(5)]
    [InlineData(1e300)]
    public void What_cannot_be_seen_is_refused_as_a_bug_of_whoever_parsed_it(double value)
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => RunSupervisor.Step(RunSupervisor.Begin(Usual.Plan), Usual.Plan, new RunInput(RunInputKind.Observation, 1, value), []));
    }

    [Fact]
    public void Only_went_out_ends_a_burn()
    {
        var plan = Usual.Plan;
        var state = RunSupervisor.Begin(plan);
        var outputs = new List<RunOutput>();
        foreach (var row in Usual.Rows.TakeWhile(row => row.TemperatureCelsius < 220))
        {
            RunSupervisor.Step(state, plan, row, outputs);
        }

        RunSupervisor.Step(state, plan, RunInput.Observation(state.AtSeconds + 0.1, Sighting.Burning), outputs);
        var made = RunSupervisor.Status(state, plan).Applications;
        foreach (var seen in new[] { Sighting.Nothing, Sighting.Halo, Sighting.Flash, Sighting.Burning })
        {
            RunSupervisor.Step(state, plan, RunInput.Observation(state.AtSeconds + 0.5, seen), outputs);
        }

        Assert.Equal(made, RunSupervisor.Status(state, plan).Applications);
        Assert.Equal(2, RunSupervisor.Status(state, plan).BurningSeconds!.Value, tolerance: 1e-6);
        RunSupervisor.Step(state, plan, RunInput.Observation(state.AtSeconds + 0.5, Sighting.WentOut), outputs);
        Assert.Null(RunSupervisor.Status(state, plan).BurningSeconds);
    }

    [Fact]
    public void A_detector_beside_a_person_raises_an_alarm_at_what_lasts_longer_than_any_pass_and_no_finding()
    {
        static ReadingRow Lit(ReadingRow row, double from, double until) => row with
        {
            Present = RowChannels.Temperature | RowChannels.Detector,
            Detector = row.Detector + (row.AtSeconds > from && row.AtSeconds < until ? 20 : 0),
        };

        var quiet = new GuidedBench { Row = row => Lit(row, 0, 0) }.Work();
        var pass = new GuidedBench { Row = row => Lit(row, 500, 502) }.Work();
        var burns = new GuidedBench { Row = row => Lit(row, 500, 510) }.Work();

        Assert.DoesNotContain(quiet.Outputs.Concat(pass.Outputs).OfType<AlarmRaised>(), alarm => alarm.Code == AlarmCodes.IgnitionWithoutFlame);
        Assert.Equal(503, Assert.Single(burns.Outputs.OfType<AlarmRaised>(), alarm => alarm.Code == AlarmCodes.IgnitionWithoutFlame).AtSeconds, tolerance: 0.35);
        Assert.Single(burns.Outputs.OfType<AlarmCleared>(), alarm => alarm.Code == AlarmCodes.IgnitionWithoutFlame);
        Assert.DoesNotContain(FindingCodes.IgnitionWithoutFlame, burns.Codes);
        Assert.Equal(quiet.Result.Verdict, burns.Result.Verdict);
    }
}
