using Acquire.Service.Tests.Configuration;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Service.Tests.CommandLine;

/// <summary>The tables of disturbances, detectors and situations in the documentation are those of the program.</summary>
public sealed class SituationsDocumentTests
{
    private static readonly string[] Lines = File.ReadAllLines(Path.Combine(ConfigSamples.RepositoryRoot(), "docs", "simulator.md"));

    // The rows of the table below a heading, without its head.
    private static string[] Table(string heading) => [.. Lines
        .SkipWhile(line => line != heading)
        .SkipWhile(line => !line.StartsWith("| --- ", StringComparison.Ordinal))
        .Skip(1)
        .TakeWhile(line => line.StartsWith("| ", StringComparison.Ordinal))];

    [Fact]
    public void Each_disturbance_stands_in_its_table_with_its_strength_range_and_origin()
    {
        var rows = DisturbanceFacts.All.Select(facts => FormattableString.Invariant($"| `{facts.Word}` | {facts.What} | {(facts.Strength.Length == 0 ? "none" : FormattableString.Invariant($"{facts.Strength}: {facts.Usual}; {facts.Least} to {facts.Most}"))} | {facts.Origin} |"));

        Assert.Equal(rows, Table("## Disturbances"));
    }

    [Fact]
    public void Each_situation_stands_in_its_table_with_what_should_be_concluded()
    {
        var rows = SituationCatalog.All.Select(situation => $"| `{situation.Name}` | {situation.Happens} | {situation.Expected} |");

        Assert.Equal(rows, Table("## Situations"));
    }

    [Fact]
    public void The_two_kinds_of_detector_have_the_figures_of_their_table()
    {
        static string Row(string what, Func<DetectorView, string> figure) => $"| {what} | {figure(DetectorView.Ionisation)} | {figure(DetectorView.Thermal)} |";

        Assert.Equal(
        [
            Row("pass of the test flame, sigma", view => FormattableString.Invariant($"{view.PassSigma}")),
            Row("width of a pass at half height, s", view => FormattableString.Invariant($"{view.PassWidthSeconds}")),
            Row("seen later where the flame comes from the left, s", view => FormattableString.Invariant($"{view.PlaceSeconds}")),
            Row("share of the halo, %", view => view.LeastHaloShare < view.MostHaloShare ? FormattableString.Invariant($"{100 * view.LeastHaloShare} to {100 * view.MostHaloShare}, drawn for each pass") : FormattableString.Invariant($"{100 * view.MostHaloShare}")),
            Row("share of flash and burning, %", view => FormattableString.Invariant($"{100 * view.FlashShare}")),
            Row("glow after a flash fades within, s", view => FormattableString.Invariant($"{Math.Min(view.LongestTailSeconds, DetectorScene.Clear.FlashTailSeconds)}")),
            Row("share of a draught's flicker, %", view => FormattableString.Invariant($"{100 * view.DraughtShare}")),
            Row("lag, s", view => FormattableString.Invariant($"{view.LagSeconds}")),
            Row("resting value, one sigma, step; own unit", view => FormattableString.Invariant($"{view.Baseline}, {view.UnitsPerSigma}, {view.StepUnits}")),
        ],
            Table("## The ignition detectors"));
    }
}
