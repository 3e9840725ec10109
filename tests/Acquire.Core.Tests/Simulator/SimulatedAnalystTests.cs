using System.Text.Json;
using Acquire.Core.Methods;
using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator;

/// <summary>A simulated person works a simulated cup by every method that has a ramp, and the guided supervisor finds what truly happened.</summary>
public sealed class SimulatedAnalystTests
{
    private static readonly MethodDefinition Cleveland = Method("iso-2592-2017");

    /// <summary>Every method of the program that heats along a ramp.</summary>
    public static TheoryData<string> Runnable => [.. MethodCatalog.All.Where(method => method.Procedure == ProcedureKind.Ramp).Select(method => method.Id)];

    // A flash point in the middle of the method's scope, as far as a bench goes.
    private static SimulatorOptions Options(MethodDefinition method, SimulatedAnalyst? analyst = null)
    {
        var scope = method.FlashScopeCelsius;
        var flash = Math.Round(Math.Clamp((scope.From + scope.To) / 2, scope.From + 5, Math.Min(220, scope.To - 5)));
        return new()
        {
            Method = method,
            FlashCelsius = flash,
            FireCelsius = method.FirePoint.Determined ? flash + 18 : null,
            HasFlameSignal = false,
            RowsPerSecond = 10,
            Analyst = analyst ?? new(),
            Seed = 5,
        };
    }

    private static MethodDefinition Method(string id) => MethodCatalog.TryFind(id, out var method) ? method : throw new ArgumentException(id);

    private static RunResult Judge(SimulatedRun run, List<RunOutput>? facts = null)
    {
        var read = PersonEntryReader.Read("keys", [SimulatedKey.Header, .. run.Truth.Keys!.Select(key => key.Line)]);
        Assert.Empty(read.Errors);
        var plan = new RunPlan
        {
            Method = run.Options.Method,
            ExpectedFlashCelsius = run.Truth.ExpectedFlashCelsius,
            StationPressureKilopascals = 101.3,
            HasFlameSignal = false,
            Mode = RunMode.Guided,
        };
        return RunReplay.Run(plan, run, read.Entries, facts);
    }

    private static RunResult Spoiled(params AnalystMistake[] mistakes) => Judge(new(Options(Cleveland, new() { Mistakes = mistakes })));

    private static int Flashed(SimulatedRun run) => run.Truth.Applications.First(made => made.Flashed).Number;

    [Theory]
    [MemberData(nameof(Runnable))]
    public void Each_method_is_worked_by_hand_to_a_valid_run_whose_points_lie_above_the_truth_by_the_reaction(string id)
    {
        var run = new SimulatedRun(Options(Method(id)));

        var result = Judge(run);

        var story = $"{id}: {result.Verdict}, flash {result.Flash?.ObservedCelsius:F2} (truth {run.Truth.Flash?.TemperatureCelsius:F2}) °C; {string.Join("; ", result.Findings.Select(finding => finding.Text))}";
        Assert.True(result.Verdict == Verdict.Valid, story);
        Assert.All(result.Applications, made => Assert.Equal(ApplicationEvidence.Person, made.Evidence));
        Assert.Equal(run.Truth.Applications.Select(made => made.Flashed), result.Applications.Select(made => made.Flash));

        // Pass and reaction take two to three seconds, at 6 °C/min at most: the key is later than the flash, so the reading is higher.
        Assert.True(result.Flash!.ObservedCelsius - run.Truth.Flash!.TemperatureCelsius is > -0.1 and < 0.5, story);
        Assert.Equal(run.Options.FireCelsius is null, result.Fire is null);
        Assert.True(result.Fire is null || result.Fire.ObservedCelsius - run.Truth.Fire!.TemperatureCelsius is > -0.1 and < 0.5, story);
    }

    [Fact]
    public void The_rows_hold_the_thermometer_alone()
    {
        Assert.All(new SimulatedRun(Options(Cleveland)).Take(500), row => Assert.Equal(RowChannels.Temperature, row.Present));
    }

    [Fact]
    public void Equal_options_give_equal_keys_and_the_truth_reads_back()
    {
        var analyst = new SimulatedAnalyst { Mistakes = [new(AnalystMistakeKind.TakenBack, 3, 3, "flash")] };
        var run = new SimulatedRun(Options(Cleveland, analyst));

        Assert.Equal(run.Truth.Keys, new SimulatedRun(Options(Cleveland, analyst)).Truth.Keys);
        var again = TraceWriter.ParseTruth(TraceWriter.TruthJson(run.Truth));
        Assert.Equal(run.Truth.Keys, again.Keys);
        Assert.Equal(analyst.Mistakes, again.Options.Analyst!.Mistakes);
    }

    [Fact]
    public void A_late_application_and_a_missed_one_are_found()
    {
        Assert.Contains(Spoiled(new AnalystMistake(AnalystMistakeKind.Late, 5, 12)).Findings, finding => finding.Code == FindingCodes.ApplicationLate);
        Assert.Contains(Spoiled(new AnalystMistake(AnalystMistakeKind.Missed, 5)).Findings, finding => finding.Code == FindingCodes.ApplicationMissed);
    }

    [Fact]
    public void A_wrong_key_changes_the_result_and_one_that_is_taken_back_does_not()
    {
        var right = Judge(new(Options(Cleveland)));

        var wrong = Spoiled(new AnalystMistake(AnalystMistakeKind.Wrong, 4, Key: "flash"));
        var facts = new List<RunOutput>();
        var back = Judge(new(Options(Cleveland, new() { Mistakes = [new(AnalystMistakeKind.TakenBack, 4, 3, "flash")] })), facts);

        Assert.True(wrong.Flash!.ObservedCelsius < right.Flash!.ObservedCelsius - 5);
        Assert.Equal(Verdict.Valid, back.Verdict);
        Assert.Equal(right.Flash.ObservedCelsius, back.Flash!.ObservedCelsius, tolerance: 2.5);
        Assert.Equal(Sighting.Flash, Assert.Single(facts.OfType<ObservationWithdrawn>()).Seen);
        Assert.Single(StandingFacts.Of(facts).OfType<FlashDetected>());
    }

    [Fact]
    public void A_flash_that_was_keyed_in_as_nothing_is_found_at_the_next_application()
    {
        var number = Flashed(new(Options(Cleveland)));

        var result = Spoiled(new AnalystMistake(AnalystMistakeKind.Wrong, number, Key: "nothing"));

        Assert.Equal(number + 1, result.Applications.First(made => made.Flash).Number);
    }

    [Theory]
    [InlineData("late:5:12", AnalystMistakeKind.Late, 5, 12, null)]
    [InlineData("missed:7", AnalystMistakeKind.Missed, 7, 0, null)]
    [InlineData("wrong:9:halo", AnalystMistakeKind.Wrong, 9, 0, "halo")]
    [InlineData("taken-back:9:went-out", AnalystMistakeKind.TakenBack, 9, 3, "went-out")]
    public void A_mistake_is_read_from_its_text(string text, AnalystMistakeKind kind, int application, double seconds, string? key)
    {
        Assert.True(AnalystMistake.TryParse(text, "--mistake", out var mistake, out _));
        Assert.Equal(new(kind, application, seconds, key), mistake);
    }

    [Theory]
    [InlineData("")]
    [InlineData("late:5")]
    [InlineData("late:x:1")]
    [InlineData("missed:1:2")]
    [InlineData("wrong:1:Flash")]
    [InlineData("slow:1")]
    public void What_is_no_mistake_is_refused_with_the_forms(string text)
    {
        Assert.False(AnalystMistake.TryParse(text, "--mistake", out _, out var error));
        Assert.Contains(AnalystMistake.Forms, error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Options_out_of_range_are_named()
    {
        var analyst = new SimulatedAnalyst { AnswerSeconds = 0, ReactionSeconds = 11, ScatterSeconds = double.NaN, Mistakes = [new(AnalystMistakeKind.Missed, 0), new(AnalystMistakeKind.Missed, 0)] };

        var errors = (Options(Cleveland, analyst) with { HasFlameSignal = true }).Check();

        Assert.Equal(
            ["analyst.answerSeconds", "analyst.reactionSeconds", "analyst.scatterSeconds", "analyst.mistakes[0].application", "analyst.mistakes[1].application", "analyst.mistakes[1].application", "hasFlameSignal"],
            errors.Select(error => error.Path));
    }

    [Fact]
    public void A_truth_without_a_person_reads_as_it_always_has()
    {
        var json = TraceWriter.TruthJson(new SimulatedRun(Options(Cleveland) with { Analyst = null }).Truth);

        using var document = JsonDocument.Parse(json);
        Assert.False(document.RootElement.TryGetProperty("keys", out _));
        Assert.False(document.RootElement.GetProperty("options").TryGetProperty("analyst", out _));
    }
}
