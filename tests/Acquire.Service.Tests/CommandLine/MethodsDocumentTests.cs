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
}
