using System.Text.Json.Nodes;
using Acquire.Core.Methods;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Methods;

public sealed class MethodFileTests
{
    private static JsonObject Good()
    {
        Assert.True(MethodCatalog.TryFind("iso-2592-2017", out var method));
        return JsonNode.Parse(MethodFile.ToJson(method))!.AsObject();
    }

    // Sets or, with null text, removes the value at a dotted path.
    private static string With(string path, string? json)
    {
        var root = Good();
        var keys = path.Split('.');
        var parent = keys[..^1].Aggregate(root, (node, key) => node[key]!.AsObject());
        parent.Remove(keys[^1]);
        if (json is not null)
        {
            parent[keys[^1]] = JsonNode.Parse(json);
        }

        return root.ToJsonString();
    }

    private static InputError OnlyError(string json)
    {
        Assert.False(MethodFile.TryParse(json, out var method, out var errors));
        Assert.Null(method);
        return Assert.Single(errors);
    }

    [Theory]
    [InlineData("colour")]
    [InlineData("ramp.colour")]
    [InlineData("applications.intervalSeconds")]
    [InlineData("Title")]
    public void An_unknown_key_is_refused_by_name(string path)
    {
        var error = OnlyError(With(path, "1"));

        Assert.Contains(path.Split('.')[^1], error.Path + error.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("title")]
    [InlineData("ramp.easeBelowExpectedCelsius")]
    [InlineData("barometric.strictKilopascals.to")]
    [InlineData("flashPrecision.repeatabilityCelsius")]
    public void A_missing_key_is_named(string path)
    {
        var error = OnlyError(With(path, null));

        Assert.Contains(path.Split('.')[^1], error.Path + error.Message, StringComparison.OrdinalIgnoreCase);
    }

    [Theory]
    [InlineData("id", "7")]
    [InlineData("title", "null")]
    [InlineData("ramp", "null")]
    [InlineData("ramp.easeBelowExpectedCelsius", "\"56\"")]
    [InlineData("ramp.fastHeatingCelsiusPerMinute", "[5, 17]")]
    [InlineData("applications.intervalCelsius", "true")]
    [InlineData("firePoint.determined", "1")]
    [InlineData("rounding.ties", "\"half-up\"")]
    [InlineData("rounding.ties", "0")]
    [InlineData("cautions", "\"Open flame\"")]
    public void A_wrong_type_is_refused_with_its_path(string path, string json)
    {
        var error = OnlyError(With(path, json));

        Assert.Equal(path, error.Path);
    }

    [Theory]
    [InlineData("ramp.easeBelowExpectedCelsius", "201")]
    [InlineData("ramp.startAtLeastBelowExpectedCelsius", "-1")]
    [InlineData("applications.intervalCelsius", "0")]
    [InlineData("applications.intervalCelsius", "1e999")]
    [InlineData("applications.longestPassSeconds", "0.5")]
    [InlineData("firePoint.sustainedSeconds", "61")]
    [InlineData("barometric.coefficientCelsiusPerKilopascal", "2")]
    [InlineData("barometric.standardKilopascals", "760")]
    [InlineData("rounding.stepCelsius", "0")]
    [InlineData("judgement.gapSeconds", "0.4")]
    [InlineData("flashPrecision.reproducibilityCelsius", "7")]
    [InlineData("id", "\"ISO 2592\"")]
    [InlineData("title", "\"  \"")]
    [InlineData("cautions", "[]")]
    public void A_value_out_of_range_is_refused_with_its_path(string path, string json)
    {
        var error = OnlyError(With(path, json));

        Assert.Equal(path, error.Path);
    }

    [Theory]
    [InlineData("cautions", "[null]")]
    [InlineData("sources", "[null]")]
    public void An_entry_that_is_null_is_refused(string path, string json)
    {
        var error = OnlyError(With(path, json));

        Assert.StartsWith(path, error.Path, StringComparison.Ordinal);
    }

    [Fact]
    public void Figures_that_contradict_each_other_are_refused()
    {
        Assert.Equal("ramp.easeBelowExpectedCelsius", OnlyError(With("ramp.easeBelowExpectedCelsius", "10")).Path);
        Assert.Equal("applications.firstBelowExpectedCelsius", OnlyError(With("applications.firstBelowExpectedCelsius", "10")).Path);
        Assert.Equal("ramp.controlledHeatingCelsiusPerMinute", OnlyError(With("ramp.controlledHeatingCelsiusPerMinute", """{ "from": 6, "to": 5 }""")).Path);
        Assert.Equal("flashScopeCelsius", OnlyError(With("flashScopeCelsius", """{ "from": 400, "to": 79 }""")).Path);
    }

    [Theory]
    [InlineData("judgement.settleCelsius", "-1", "judgement.settleCelsius")]
    [InlineData("cup", "\"half-open\"", "cup")]
    [InlineData("stirring", """{ "revolutionsPerMinute": { "from": 120, "to": 90 }, "stoppedDuringApplication": true }""", "stirring.revolutionsPerMinute")]
    [InlineData("scope", """{ "thinnerThan": [{ "squareMillimetresPerSecond": 0, "atCelsius": 40 }] }""", "scope.thinnerThan[0].squareMillimetresPerSecond")]
    [InlineData("unknownFlash", """{ "firstAtLeastAboveStartCelsius": 5 }""", "unknownFlash|unknownFlash.settleCelsius")]
    [InlineData("procedure", "\"equilibrium\"", "ramp|applications|equilibrium|unknownFlash")]
    [InlineData("ramp.fastHeatingCelsiusPerMinute", null, "ramp.easeBelowExpectedCelsius|ramp.controlledFromBelowExpectedCelsius|judgement.pauseSeconds|judgement.settleCelsius")]
    [InlineData("ramp.controlledFromBelowExpectedCelsius", null, "ramp.controlledFromBelowExpectedCelsius")]
    [InlineData("applications.shortestPassSeconds", "1.5", "applications.shortestPassSeconds")]
    [InlineData("applications.firstAtEarliestBelowExpectedCelsius", "20", "applications.firstAtEarliestBelowExpectedCelsius")]
    [InlineData("applications.flashWindowAboveFirstCelsius", """{ "from": 28, "to": 18 }""", "applications.flashWindowAboveFirstCelsius")]
    [InlineData("flashPrecision", "{}", "flashPrecision.repeatabilityCelsius|flashPrecision.reproducibilityCelsius")]
    [InlineData("flashPrecision.repeatability", """{ "factor": 0.029 }""", "flashPrecision.repeatability")]
    [InlineData("flashPrecision", """{ "pieces": [{ "fromCelsius": 70, "toCelsius": 60, "repeatability": { "constantCelsius": 1 }, "reproducibility": {} }] }""", "flashPrecision.pieces[0].toCelsius|flashPrecision.pieces[0].reproducibility.constantCelsius")]
    [InlineData("variants", "[{}]", "variants[0].expectedFromCelsius|variants[0].ramp")]
    [InlineData("variants", """[{ "expectedFromCelsius": 60, "expectedAboveCelsius": 60, "flashPrecision": { "repeatabilityCelsius": 1, "reproducibilityCelsius": 2 } }]""", "variants[0].expectedFromCelsius")]
    [InlineData("variants", """[{ "expectedUpToCelsius": 60, "flashPrecision": { "repeatabilityCelsius": 1, "reproducibilityCelsius": 2 } }, { "expectedFromCelsius": 60, "flashPrecision": { "repeatabilityCelsius": 1, "reproducibilityCelsius": 2 } }]""", "variants[1]")]
    public void What_a_part_may_not_hold_is_refused_with_its_path(string path, string? json, string refused)
    {
        Assert.False(MethodFile.TryParse(With(path, json), out _, out var errors));

        Assert.Equal(refused.Split('|'), errors.Select(error => error.Path));
    }

    [Fact]
    public void An_equilibrium_procedure_says_how_much_and_how_long_and_what_for()
    {
        var root = Good();
        root["procedure"] = "equilibrium";
        root.Remove("ramp");
        root.Remove("applications");
        root.Remove("unknownFlash");
        root["equilibrium"] = JsonNode.Parse("""{ "aim": "flash-point", "charges": [{ "millilitres": 0, "waitSeconds": 60 }], "blockToleranceCelsius": 0.5, "steadySeconds": 60, "waitToleranceSeconds": 5, "shutterSeconds": 2.5, "stepsCelsius": [1, 5] }""");

        Assert.False(MethodFile.TryParse(root.ToJsonString(), out _, out var errors));
        Assert.Equal(["equilibrium.charges[0].millilitres", "equilibrium.stepsCelsius[1]"], errors.Select(error => error.Path));

        root["equilibrium"] = JsonNode.Parse("""{ "aim": "flash-no-flash", "charges": [], "blockToleranceCelsius": 0.5, "steadySeconds": 60, "waitToleranceSeconds": 5, "shutterSeconds": 2.5 }""");
        Assert.False(MethodFile.TryParse(root.ToJsonString(), out _, out errors));
        Assert.Equal(["equilibrium.charges", "equilibrium.setPoint"], errors.Select(error => error.Path));
    }

    [Fact]
    public void Mistakes_of_every_kind_are_stated_at_once_each_with_its_line()
    {
        Assert.True(MethodCatalog.TryFind("iso-2592-2017", out var method));
        var lines = MethodFile.ToJson(method).Split('\n').ToList();
        var title = lines.FindIndex(line => line.Contains("\"title\"", StringComparison.Ordinal));
        lines[title] = "  \"title\": 7,";
        lines.Insert(title, "  \"colour\": \"red\",");
        var interval = lines.FindIndex(line => line.Contains("\"intervalCelsius\"", StringComparison.Ordinal));
        lines.RemoveAt(interval);
        var holder = lines.FindIndex(line => line.Contains("\"applications\": {", StringComparison.Ordinal));

        Assert.False(MethodFile.TryParse(string.Join('\n', lines), out _, out var errors));

        Assert.Equal(["colour", "title", "applications.intervalCelsius"], errors.Select(error => error.Path));
        Assert.All(errors.Zip([title + 1, title + 2, holder + 1]), pair => Assert.EndsWith($"(line {pair.Second})", pair.First.Message, StringComparison.Ordinal));
    }

    [Fact]
    public void Lists_end_and_so_does_the_list_of_mistakes()
    {
        var root = Good();
        root["variants"] = new JsonArray([.. Enumerable.Range(0, 5000).Select(_ => new JsonObject())]);

        Assert.False(MethodFile.TryParse(root.ToJsonString(), out _, out var errors));

        Assert.Equal("variants", errors[0].Path);
        Assert.Contains("5000 entries; allowed: up to 20", errors[0].Message, StringComparison.Ordinal);
        Assert.Equal(101, errors.Count);
        Assert.Contains("more mistakes", errors[^1].Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Keys_too_many_do_not_hide_figures_out_of_range()
    {
        var root = Good();
        root["colour"] = "red";
        root["rounding"]!["stepCelsius"] = 0;

        Assert.False(MethodFile.TryParse(root.ToJsonString(), out _, out var errors));

        Assert.Equal(["colour", "rounding.stepCelsius"], errors.Select(error => error.Path));
    }

    [Fact]
    public void A_key_that_is_there_twice_is_refused_and_one_that_names_the_schema_is_not()
    {
        var good = Good().ToJsonString();

        Assert.True(MethodFile.TryParse(good.Insert(1, "\"$schema\": \"method.schema.json\","), out _, out _));
        Assert.Contains("twice", OnlyError(good.Insert(1, "\"id\": \"other\",")).Message, StringComparison.Ordinal);
        Assert.Equal("$schema", OnlyError(good.Insert(1, "\"$schema\": 7,")).Path);
    }

    [Fact]
    public void Several_mistakes_are_stated_at_once()
    {
        var root = Good();
        root["ramp"]!["easeBelowExpectedCelsius"] = 1000;
        root["rounding"]!["stepCelsius"] = -1;

        Assert.False(MethodFile.TryParse(root.ToJsonString(), out _, out var errors));

        Assert.Equal(["ramp.easeBelowExpectedCelsius", "rounding.stepCelsius"], errors.Select(error => error.Path));
    }

    [Theory]
    [InlineData("")]
    [InlineData("null")]
    [InlineData("[]")]
    [InlineData("{")]
    [InlineData("7")]
    public void Text_that_is_no_method_object_is_one_error(string json) => Assert.False(string.IsNullOrWhiteSpace(OnlyError(json).Message));

    [Fact]
    public void Damaged_text_never_throws()
    {
        var good = Good().ToJsonString();
        Gen.Select(Gen.Int[0, good.Length - 1], Gen.Int[0, 40], Gen.String).Sample((at, cut, put) =>
        {
            var damaged = string.Concat(good.AsSpan(0, at), put, good.AsSpan(Math.Min(good.Length, at + cut)));
            var read = MethodFile.TryParse(damaged, out var method, out var errors);
            return read ? method is not null && errors.Count == 0 : method is null && errors.Count > 0;
        }, iter: 2000);
    }
}
