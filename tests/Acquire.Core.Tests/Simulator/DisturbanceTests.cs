using Acquire.Simulator;
using Xunit;

namespace Acquire.Core.Tests.Simulator;

/// <summary>How disturbances are written, and what is refused.</summary>
public sealed class DisturbanceTests
{
    [Theory]
    [InlineData("hum", null, null, null)]
    [InlineData("hum:2.5", 2.5, null, null)]
    [InlineData("hum::600", null, 600.0, null)]
    [InlineData("hum:2:600:90.5", 2.0, 600.0, 90.5)]
    [InlineData("hum:::90", null, null, 90.0)]
    public void Parts_may_be_left_out(string text, double? strength, double? start, double? length)
    {
        Assert.True(Disturbance.TryParse(text, "--disturb", out var disturbance, out _));

        Assert.Equal(new(DisturbanceKind.Hum, strength, start, length), disturbance);
    }

    [Theory]
    [InlineData("earthquake", "'earthquake' is no disturbance; there are draught, hum, ")]
    [InlineData("", "'' is no disturbance; there are ")]
    [InlineData(null, "'' is no disturbance; there are ")]
    [InlineData("hum:1:2:3:4", "'hum:1:2:3:4' is not KIND[:STRENGTH[:START[:LENGTH]]]")]
    [InlineData("hum:loud", "strength, start and length in 'hum:loud' are not all numbers")]
    [InlineData("hum:1,5", "strength, start and length in 'hum:1,5' are not all numbers")]
    [InlineData("hum:NaN", "strength, start and length in 'hum:NaN' are not all numbers")]
    [InlineData("hum:1:x", "strength, start and length in 'hum:1:x' are not all numbers")]
    public void Damaged_text_is_told_with_its_option(string? text, string message)
    {
        Assert.False(Disturbance.TryParse(text, "--disturb", out _, out var error));

        Assert.Equal("--disturb", error.Path);
        Assert.StartsWith(message, error.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("hum:0.01", "disturbances[0].strength", "0.01 is not within 0.1 to 50 (hum: amplitude, sigma)")]
    [InlineData("spikes:-1", "disturbances[0].strength", "-1 is not within 0.001 to 5 (spikes: how many a second)")]
    [InlineData("late-flash:9999", "disturbances[0].strength", "9999 is not within 0 to 2000 (late-flash: delay after the flame left, ms)")]
    [InlineData("drift::-5", "disturbances[0].startSeconds", "-5 is not within 0 to 86400")]
    [InlineData("drift:::0", "disturbances[0].lengthSeconds", "0 is not within 0.001 to 86400")]
    public void What_is_out_of_range_is_told_with_the_range(string text, string path, string message)
    {
        Assert.True(Disturbance.TryParse(text, "--disturb", out var disturbance, out _));

        var error = Assert.Single((Specimens.BaseOil() with { Disturbances = [disturbance] }).Check());

        Assert.Equal((path, message), (error.Path, error.Message));
    }

    [Fact]
    public void Each_kind_has_facts_whose_usual_strength_lies_in_its_range()
    {
        Assert.Equal(Enum.GetValues<DisturbanceKind>(), DisturbanceFacts.All.Select(facts => facts.Kind));
        Assert.All(DisturbanceFacts.All, facts => Assert.InRange(facts.Usual, facts.Least, facts.Most));
        Assert.All(DisturbanceFacts.All, facts => Assert.NotEmpty(facts.Origin));
        Assert.Equal(DisturbanceFacts.All.Count, DisturbanceFacts.All.Select(facts => facts.Word).Distinct().Count());
    }

    [Fact]
    public void Too_many_and_unknown_kinds_are_refused()
    {
        var many = Enumerable.Repeat(new Disturbance(DisturbanceKind.Drift), 51).ToArray();

        Assert.Equal("disturbances", Assert.Single((Specimens.BaseOil() with { Disturbances = many }).Check()).Path);
        Assert.Equal("disturbances[0].kind", Assert.Single((Specimens.BaseOil() with { Disturbances = [new((DisturbanceKind)99)] }).Check()).Path);
        Assert.Equal("humHertz", Assert.Single((Specimens.BaseOil() with { HumHertz = 0 }).Check()).Path);
    }

    [Fact]
    public void The_truth_states_them_and_gives_the_same_rows_again()
    {
        var run = new SimulatedRun(Specimens.BaseOil(2) with { TwoDetectors = true, HumHertz = 1.5, Disturbances = [new(DisturbanceKind.Hum, 4), new(DisturbanceKind.WeakFlash, null, 100, 5000)] });

        var json = TraceWriter.TruthJson(run.Truth);
        var again = new SimulatedRun(TraceWriter.ParseTruth(json).Options);

        Assert.Contains("\"hum\"", json, StringComparison.Ordinal);
        Assert.Equal(run.Skip(1000).Take(500), again.Skip(1000).Take(500));
        Assert.DoesNotContain("isturbances", TraceWriter.TruthJson(new SimulatedRun(Specimens.BaseOil(2)).Truth), StringComparison.Ordinal);
    }
}
