using System.Text.Json.Nodes;
using Acquire.Core.Methods;
using Acquire.Core.Runs;
using Xunit;

namespace Acquire.Core.Tests.Methods;

/// <summary>What holds for each method that comes with the program.</summary>
public sealed class EmbeddedMethodTests
{
    // What a file says about itself, not about a determination.
    private static readonly string[] NoFigures = ["id", "title", "standard", "use", "cup", "heating", "procedure", "cautions", "sources"];

    public static TheoryData<string> Ids => new(MethodCatalog.All.Select(method => method.Id));

    private static MethodDefinition Method(string id) =>
        MethodCatalog.TryFind(id, out var method) ? method : throw new ArgumentException(id, nameof(id));

    [Theory]
    [MemberData(nameof(Ids))]
    public void Every_figure_has_a_source(string id)
    {
        var method = Method(id);
        var figures = method.Sources.Select(source => source.Figure).ToArray();

        Assert.All(method.Sources, source => Assert.False(string.IsNullOrWhiteSpace(source.Citation)));
        Assert.All(Leaves(JsonNode.Parse(MethodFile.ToJson(method))!.AsObject(), ""), path =>
            Assert.True(NoFigures.Contains(path) || figures.Any(figure => path == figure || path.StartsWith(figure + ".", StringComparison.Ordinal)), $"{id}: {path} has no source"));
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void Every_source_belongs_to_a_figure_that_is_there(string id)
    {
        var method = Method(id);
        var paths = Leaves(JsonNode.Parse(MethodFile.ToJson(method))!.AsObject(), "").Append("rounding.ties").ToArray();

        Assert.All(method.Sources, source =>
            Assert.True(paths.Any(path => path == source.Figure || path.StartsWith(source.Figure + ".", StringComparison.Ordinal)), $"{id}: nothing is called {source.Figure}"));
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void A_method_with_a_flame_states_its_cautions_and_claims_no_safety(string id)
    {
        var method = Method(id);

        Assert.Contains(method.Cautions, text => text.Contains("flame", StringComparison.OrdinalIgnoreCase));
        Assert.Contains(method.Cautions, text => text.Contains("not a safety device", StringComparison.OrdinalIgnoreCase));
        Assert.Equal(method.Cup == CupKind.Closed, method.Cautions.Any(text => text.Contains("closed cup", StringComparison.OrdinalIgnoreCase)));
        Assert.Equal(method.FlashScopeCelsius.From < 20, method.Cautions.Any(text => text.Contains("Cooled specimens", StringComparison.Ordinal)));
        Assert.False(method.Cup == CupKind.Closed && method.FirePoint.Determined);
        Assert.False(string.IsNullOrWhiteSpace(method.Use));
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void A_written_method_reads_back_to_the_same_text(string id)
    {
        var method = Method(id);
        var text = MethodFile.ToJson(method);

        Assert.True(MethodFile.TryParse(text, out var again, out var errors), string.Join("; ", errors));
        Assert.Equal(text, MethodFile.ToJson(again));
        Assert.Equivalent(method, again, strict: true);
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void Its_limits_fit_each_other_wherever_it_is_used(string id)
    {
        var method = Method(id);
        if (method.Procedure == ProcedureKind.Equilibrium)
        {
            Assert.NotNull(method.Equilibrium);
            return;
        }

        for (var expected = method.FlashScopeCelsius.From; expected <= method.FlashScopeCelsius.To; expected += 1)
        {
            var rules = new RunRules(method, expected);
            var (ramp, applications, judgement) = (rules.Ramp, rules.Applications, rules.Judgement);
            // A tolerance of half an interval could not tell an application in time from one left out.
            Assert.True(judgement.IntervalToleranceCelsius < applications.IntervalCelsius / 2, $"{id} at {expected} °C");
            // A gap of the allowed length must not hide an application.
            Assert.True(judgement.GapSeconds / 60 * ramp.ControlledHeatingCelsiusPerMinute.To < applications.IntervalCelsius, $"{id} at {expected} °C");
            Assert.True(judgement.RateToleranceCelsiusPerMinute < ramp.ControlledHeatingCelsiusPerMinute.To - ramp.ControlledHeatingCelsiusPerMinute.From, $"{id} at {expected} °C");
            // The first application may come in the middle of the window that makes a flash count.
            Assert.True(applications.FlashWindowAboveFirstCelsius?.Contains(applications.FirstBelowExpectedCelsius) ?? true, $"{id} at {expected} °C");
        }
    }

    private static IEnumerable<string> Leaves(JsonObject node, string path) => node.SelectMany(pair =>
    {
        var below = path.Length == 0 ? pair.Key : $"{path}.{pair.Key}";
        return pair.Value switch
        {
            JsonObject inner => Leaves(inner, below),
            // The entries of a list share the source of the list, but for the parts of variants.
            JsonArray { Count: > 0 } list when list[0] is JsonObject && pair.Key == "variants" => list.SelectMany(entry => Leaves(entry!.AsObject(), below)),
            _ => [below],
        };
    });
}
