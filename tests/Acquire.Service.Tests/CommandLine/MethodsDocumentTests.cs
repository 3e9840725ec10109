using Acquire.Core.Methods;
using Acquire.Service.Tests.Configuration;
using Xunit;

namespace Acquire.Service.Tests.CommandLine;

/// <summary>What the documentation says of the sources is what the method files say.</summary>
public sealed class MethodsDocumentTests
{
    private static readonly string Document = File.ReadAllText(Path.Combine(ConfigSamples.RepositoryRoot(), "docs", "methods.md"));

    public static TheoryData<string> Ids => new(MethodCatalog.All.Select(method => method.Id));

    [Theory]
    [MemberData(nameof(Ids))]
    public void Every_source_stands_in_the_table_of_its_method_with_its_mark(string id)
    {
        Assert.True(MethodCatalog.TryFind(id, out var method));
        var section = Document.Split("\n### ").Single(part => part.StartsWith(id + "\n", StringComparison.Ordinal));

        var rows = section.Split('\n').Where(line => line.StartsWith("| `", StringComparison.Ordinal)).ToArray();

        Assert.Contains(method.Title, section, StringComparison.Ordinal);
        Assert.Equal(method.Sources.Count, rows.Length);
        Assert.All(method.Sources.Zip(rows), pair =>
        {
            Assert.StartsWith($"| `{pair.First.Figure}` | ", pair.Second, StringComparison.Ordinal);
            Assert.EndsWith($" | {pair.First.Citation}{(pair.First.FromMemory ? ": **value from memory**" : "")} |", pair.Second, StringComparison.Ordinal);
        });
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void The_table_of_what_is_judged_has_the_figures_of_the_method_file(string id)
    {
        Assert.True(MethodCatalog.TryFind(id, out var method));
        var row = Document.Split('\n').Where(line => line.StartsWith($"| `{id}` | ", StringComparison.Ordinal)).Select(line => line.Split(" | ")).SingleOrDefault(cells => cells.Length == 10);
        if (method is not { Ramp: { } ramp, Applications: { } applications, Surroundings: { } surroundings })
        {
            Assert.Null(row);
            return;
        }

        var window = applications.FlashWindowAboveFirstCelsius is { } above ? FormattableString.Invariant($"{above.From} to {above.To}") : "";
        var stirrer = method.Stirring is { RevolutionsPerMinute: var speed } ? FormattableString.Invariant($"{speed.From} to {speed.To}, stopped") : "";
        string[] expected =
        [
            FormattableString.Invariant($"{ramp.StartAtLeastBelowExpectedCelsius}"),
            FormattableString.Invariant($"{ramp.ControlledHeatingCelsiusPerMinute.From} to {ramp.ControlledHeatingCelsiusPerMinute.To}"),
            FormattableString.Invariant($"{applications.FirstAtLatestBelowExpectedCelsius}"),
            FormattableString.Invariant($"{applications.IntervalCelsius}"),
            FormattableString.Invariant($"{(applications.ShortestPassSeconds is { } shortest ? FormattableString.Invariant($"{shortest} to ") : "up to ")}{applications.LongestPassSeconds}"),
            window,
            stirrer,
            FormattableString.Invariant($"{surroundings.DraughtMetresPerSecond}"),
            FormattableString.Invariant($"{surroundings.AmbientChangeCelsius} |"),
        ];
        Assert.Equal(expected, row![1..]);
    }

    [Fact]
    public void Every_finding_and_every_alarm_is_explained()
    {
        var explained = File.ReadAllText(Path.Combine(ConfigSamples.RepositoryRoot(), "docs", "findings.md"));

        foreach (var holder in new[] { typeof(Acquire.Core.Results.FindingCodes), typeof(Acquire.Core.Alarms.AlarmCodes) })
        {
            Assert.All(holder.GetFields().Select(field => (string)field.GetRawConstantValue()!), code => Assert.Contains($"| `{code}` |", explained, StringComparison.Ordinal));
        }
    }
}
