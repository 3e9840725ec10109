using System.Text.Json.Nodes;
using Acquire.Core.Methods;
using Xunit;

namespace Acquire.Core.Tests.Methods;

/// <summary>Figures of a method file that are each in range and contradict one another.</summary>
public sealed class ContradictionTests
{
    private static string[] Wrong(string id, params (string Path, string Json)[] changes)
    {
        Assert.True(MethodCatalog.TryFind(id, out var method));
        var root = JsonNode.Parse(MethodFile.ToJson(method))!.AsObject();
        foreach (var (path, json) in changes)
        {
            var keys = path.Split('.');
            var parent = keys[..^1].Aggregate(root, (node, key) => node[key]!.AsObject());
            parent[keys[^1]] = JsonNode.Parse(json);
        }

        return MethodFile.TryParse(root.ToJsonString(), out _, out var errors) ? [] : [.. errors.Select(error => error.Path)];
    }

    [Theory]
    [InlineData("waitToleranceSeconds", "60", "equilibrium.waitToleranceSeconds")]
    [InlineData("waitToleranceSeconds", "59", null)]
    [InlineData("optionalStepCelsius", "1", "equilibrium.optionalStepCelsius")]
    [InlineData("optionalStepCelsius", "0.9", null)]
    [InlineData("blockToleranceCelsius", "0.6", "equilibrium.blockToleranceCelsius|equilibrium.blockToleranceCelsius")]
    [InlineData("blockToleranceCelsius", "0.5", null)]
    public void Figures_of_an_equilibrium_procedure_agree(string key, string json, string? paths) =>
        Assert.Equal(paths?.Split('|') ?? [], Wrong("iso-3679-2022-b", ($"equilibrium.{key}", json)));

    private const string Two = """ { "upToCelsius": 100, "millilitres": 2, "toleranceMillilitres": 0.05, "waitSeconds": 60 } """;

    private const string Four = """ { "millilitres": 4, "toleranceMillilitres": 0.1, "waitSeconds": 120 } """;

    [Theory]
    [InlineData(Two + "," + Four, null)]
    [InlineData(Four + "," + Two, "equilibrium.charges[1]")]
    [InlineData(Two, "equilibrium.charges")]
    [InlineData(Two + ", { \"upToCelsius\": 50, \"millilitres\": 4, \"waitSeconds\": 120 }," + Four, "equilibrium.charges[1]")]
    [InlineData("{ \"material\": \"esters\", \"millilitres\": 2, \"waitSeconds\": 60 }," + Two + "," + Four, null)]
    [InlineData("{ \"millilitres\": 4, \"toleranceMillilitres\": 4, \"waitSeconds\": 120 }", "equilibrium.charges[0].toleranceMillilitres")]
    public void Every_charge_can_be_reached_and_every_temperature_has_one(string charges, string? path) =>
        Assert.Equal(path is null ? [] : [path], Wrong("iso-3679-2022-b", ("equilibrium.charges", $"[{charges}]")));

    private const string Limits = "\"repeatability\": { \"constantCelsius\": 1 }, \"reproducibility\": { \"constantCelsius\": 2 }";

    [Theory]
    [InlineData("\"toCelsius\": 70,", "\"fromCelsius\": 70,", false)]
    [InlineData("\"toCelsius\": 80,", "\"fromCelsius\": 70,", true)]
    [InlineData("", "\"fromCelsius\": 70,", true)]
    [InlineData("\"material\": \"esters\",", "\"fromCelsius\": 70,", false)]
    public void Pieces_of_a_precision_do_not_overlap(string first, string second, bool overlap) =>
        Assert.Equal(overlap ? ["flashPrecision.pieces[1]"] : [], Wrong("iso-3679-2022-b", ("flashPrecision", $$"""{ "pieces": [{ {{first}} {{Limits}} }, { {{second}} {{Limits}} }] }""")));

    [Theory]
    [InlineData(19, true)]
    [InlineData(20, false)]
    public void A_specimen_does_not_start_above_its_first_application(int below, bool wrong) =>
        Assert.Equal(wrong ? ["ramp.startAtLeastBelowExpectedCelsius"] : [], Wrong("bench-open-cup", ("ramp.startAtLeastBelowExpectedCelsius", $"{below}"), ("applications.firstAtLatestBelowExpectedCelsius", "20")));
}
