using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator;

/// <summary>Each situation of the catalogue leads to the conclusion that its text promises, whatever the seed.</summary>
public sealed class SituationTests
{
    private static readonly ulong[] Seeds = [1, 2, 3];

    public static TheoryData<string> Names => new(SituationCatalog.All.Select(situation => situation.Name));

    internal static RunResult Judge(SimulatedRun run) => RunReplay.Run(
        run.Options.Aim.Plan(run.Options.Method) with
        {
            StationPressureKilopascals = run.Options.StationPressureKilopascals,
            HasFlameSignal = run.Options.HasFlameSignal,
            Thermometer = run.Options.Thermometer.Chain,
        },
        run);

    [Theory]
    [MemberData(nameof(Names))]
    public void What_is_concluded_is_what_should_be(string name)
    {
        Assert.True(SituationCatalog.TryFind(name, out var situation));

        var differences = Seeds.SelectMany(seed =>
        {
            // What happens while the cup cools is no part of any conclusion.
            var run = new SimulatedRun(situation.Options(seed) with { CoolingSeconds = 60 });
            return situation.Expected.Compare(run, Judge(run)).Select(difference => $"seed {seed}: {difference}");
        });

        Assert.Equal([], differences);
    }

    [Theory]
    [MemberData(nameof(Names))]
    public void Each_can_be_played_and_is_told_in_words(string name)
    {
        Assert.True(SituationCatalog.TryFind(name, out var situation));

        Assert.Empty(situation.Options(1).Check());
        Assert.Equal(name, situation.Options(1).Situation);
        Assert.All([situation.Happens, situation.See, situation.Do], text => Assert.EndsWith(".", text, StringComparison.Ordinal));
        Assert.NotEmpty(situation.Expected.Verdicts);
        Assert.Matches("^[a-z]+(-[a-z]+)*$", name);
    }

    [Fact]
    public void Names_are_given_once_and_unknown_ones_are_not_found()
    {
        Assert.Equal(SituationCatalog.All.Count, SituationCatalog.All.Select(situation => situation.Name).Distinct().Count());
        Assert.InRange(SituationCatalog.All.Count, 20, 40);
        Assert.False(SituationCatalog.TryFind("no-such-thing", out _));
        Assert.False(SituationCatalog.TryFind(null, out _));
    }

    [Fact]
    public void Burns_that_are_too_short_are_no_fire_point()
    {
        Assert.True(SituationCatalog.TryFind("short-burns", out var situation));
        var run = new SimulatedRun(situation.Options(1));

        Assert.Contains(run.Truth.Applications, made => made.BurnedSeconds is > 0.5 and < 5);
        Assert.Equal(run.Truth.Fire!.TimeSeconds, Judge(run).Fire!.TimeSeconds, 0.5);
    }

    [Fact]
    public void A_wrong_conclusion_is_told_apart()
    {
        Assert.True(SituationCatalog.TryFind("clean-run", out var situation));
        var run = new SimulatedRun(situation.Options(1) with { FireCelsius = null, CoolingSeconds = 10, RowsPerSecond = 25 });
        var result = Judge(run);

        Assert.Empty(situation.Expected.Compare(run, result));
        Assert.StartsWith("flash at ", Assert.Single(situation.Expected.Compare(run, result with { Flash = result.Flash! with { TimeSeconds = result.Flash.TimeSeconds - 20 } })), StringComparison.Ordinal);
        Assert.StartsWith("verdict invalid instead of valid", Assert.Single(situation.Expected.Compare(run, result with { Verdict = Verdict.Invalid })), StringComparison.Ordinal);
        Assert.Equal(["no finding draught"], (situation.Expected with { Codes = [FindingCodes.Draught] }).Compare(run, result));
        Assert.Equal(2, (situation.Expected with { Verdicts = [Verdict.Doubtful], Flash = ExpectedFlash.None }).Compare(run, result).Count);
    }
}
