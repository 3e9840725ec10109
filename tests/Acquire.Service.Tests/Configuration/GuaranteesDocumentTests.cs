using System.Text.RegularExpressions;
using Xunit;

namespace Acquire.Service.Tests.Configuration;

/// <summary>The documents name a test for every fault and every guarantee, and the test is there.</summary>
public sealed partial class GuaranteesDocumentTests
{
    [Theory]
    [InlineData("devices.md", 70)]
    [InlineData("archive.md", 25)]
    [InlineData("archive-faults.md", 14)]
    [InlineData("architecture.md", 30)]
    public void Every_row_of_the_tables_names_a_test_that_is_there(string document, int fewestRows)
    {
        var root = ConfigSamples.RepositoryRoot();
        var tests = string.Concat(Directory.EnumerateFiles(Path.Combine(root, "tests"), "*Tests.cs", SearchOption.AllDirectories)
            .Append(Path.Combine(root, "tests", "Acquire.Benchmarks", "Program.cs")).Select(File.ReadAllText));
        var (rows, inTable) = (0, false);
        foreach (var line in File.ReadLines(Path.Combine(root, "docs", document)))
        {
            var cells = line.Split(" | ");
            if (!line.StartsWith("| ", StringComparison.Ordinal) || line.StartsWith("| ---", StringComparison.Ordinal))
            {
                inTable &= line.StartsWith('|');
            }
            else if (!inTable)
            {
                inTable = cells[^1].TrimEnd(' ', '|') == "test";
            }
            else
            {
                rows++;
                var named = Name().Matches(cells[^1]).SelectMany(match => match.Groups[1].Value.TrimStart('…').Split('.')).ToArray();
                Assert.True(named.Length > 0 || cells[^1].StartsWith("the same", StringComparison.Ordinal) || cells[^1].StartsWith("[archive.md](", StringComparison.Ordinal), $"no test is named: {line}");
                Assert.All(named, name => Assert.Contains(name, tests, StringComparison.Ordinal));
            }
        }

        Assert.InRange(rows, fewestRows, 1000);
    }

    [GeneratedRegex("`([^`]+)`")]
    private static partial Regex Name();
}
