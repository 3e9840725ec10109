using System.Text.Json;
using Acquire.Core.Methods;
using Acquire.Service.CommandLine;
using Xunit;

namespace Acquire.Service.Tests.CommandLine;

public sealed class AdviseCommandTests
{
    [Fact]
    public void The_choice_stands_first_with_reasons_then_what_is_ruled_out_then_the_cautions()
    {
        var (code, output, error) = Run("--product", "lubricant-in-service", "--expected-flash", "210", "--viscosity", "95", "--viscosity-at", "40");

        Assert.Equal((ExitCode.Done, ""), (code, error));
        var lines = output.Split('\n');
        Assert.Equal("Asked: lubricant-in-service, flash point expected at 210 °C, 95 mm²/s at 40 °C, flash point wanted", lines[0]);
        Assert.Equal("  1. astm-d93-20-a: Pensky-Martens closed cup, procedure A (ASTM D93-20)", lines[2]);
        Assert.Contains("  astm-d56-22      210 °C is above its scope, -18 to 93 °C; 95 mm²/s at 40 °C is too thick: below 5.5 mm²/s at 40 °C or 9.5 mm²/s at 25 °C", lines);
        Assert.Contains(lines, line => line.EndsWith(". iso-3679-2022-b: Rapid equilibrium closed cup, flash point by steps (ISO 3679:2022, procedure B)", StringComparison.Ordinal));
        Assert.Contains("Cautions (common practice, no source, where no other is given)", lines);
        Assert.Contains("open-cup readings run higher than closed-cup ones: benches quote 20 to 60 °C for lubricants, texts 5 to 30 °C; never convert", output, StringComparison.Ordinal);
        Assert.DoesNotContain("[ASTM D56-22, 1.1: below 93 °C]", output, StringComparison.Ordinal);
        Assert.Contains("[ASTM D56-22, 1.1: below 93 °C]", Run("--product", "lubricant-in-service", "--expected-flash", "210", "--sources").Output, StringComparison.Ordinal);
    }

    [Fact]
    public void An_unknown_flash_point_begins_with_a_scouting_run()
    {
        var output = Run("--product", "solvent", "--fire-point", "--solids", "--film-forming", "--volatile-contamination", "--purpose", "hazard-class").Output;

        Assert.StartsWith("Asked: solvent, flash point unknown, with solids, forms a film, something volatile suspected, flash and fire point wanted, for hazard-class\nFirst, since the flash point is unknown: a scouting run by astm-d93-20-b\n  - ", output, StringComparison.Ordinal);
        Assert.Contains("\nMay serve: none of the methods known here\n", output, StringComparison.Ordinal);
        Assert.Contains("two determinations", output, StringComparison.Ordinal);
    }

    [Fact]
    public void The_JSON_has_one_object_on_one_line_with_the_source_of_every_note()
    {
        var (code, output, _) = Run("--product", "fame", "--expected-flash", "150", "--json");

        Assert.Equal(ExitCode.Done, code);
        using var advice = JsonDocument.Parse(Assert.Single(output.Split('\n', StringSplitOptions.RemoveEmptyEntries)));
        Assert.Equal(["question", "suitable", "ruledOut", "scouting", "cautions"], Keys(advice.RootElement));
        Assert.Equal(["product", "expectedFlashCelsius", "viscosity", "solids", "filmForming", "firePoint", "volatileContamination", "purpose"], Keys(advice.RootElement.GetProperty("question")));
        Assert.Equal("fame", advice.RootElement.GetProperty("question").GetProperty("product").GetString());
        var first = advice.RootElement.GetProperty("suitable")[0];
        Assert.Equal(["methodId", "title", "reasons", "conditions"], Keys(first));
        Assert.Equal("astm-d93-20-c", first.GetProperty("methodId").GetString());
        Assert.Equal(["code", "text", "source"], Keys(first.GetProperty("reasons")[0]));
        Assert.Equal(["methodId", "title", "rules"], Keys(advice.RootElement.GetProperty("ruledOut")[0]));
        Assert.Equal(JsonValueKind.Null, advice.RootElement.GetProperty("scouting").ValueKind);
    }

    [Fact]
    public void Methods_of_the_laboratory_are_advised_too()
    {
        var folder = TestFolders.Make("acquire-advise-");
        File.WriteAllText(Path.Combine(folder, "own.json"), MethodFile.ToJson(MethodCatalog.All.Single(method => method.Id == "bench-open-cup") with { Id = "house" }));

        Assert.Contains(". house: Open cup at one rate", Run("--product", "bitumen", "--expected-flash", "250", "--methods", folder).Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Mistakes_name_the_option_and_the_allowed_words_all_at_once()
    {
        var (code, output, error) = Run("--product", "milk", "--viscosity", "3", "--purpose", "x", "--methods", "no-such-folder");

        Assert.Equal((ExitCode.BadInput, ""), (code, output));
        var lines = error.Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal(4, lines.Length);
        Assert.StartsWith("--product: there is no 'milk'; allowed: distillate-fuel, residual-fuel, lubricant-new, ", lines[0], StringComparison.Ordinal);
        Assert.StartsWith("--viscosity-at: is missing", lines[1], StringComparison.Ordinal);
        Assert.StartsWith("--purpose: there is no 'x'; allowed: specification, hazard-class", lines[2], StringComparison.Ordinal);
        Assert.StartsWith("no-such-folder: ", lines[3], StringComparison.Ordinal);
        Assert.StartsWith("--product: is missing; allowed: ", Run().Error, StringComparison.Ordinal);
    }

    private static string[] Keys(JsonElement element) => [.. element.EnumerateObject().Select(property => property.Name)];

    private static (int Code, string Output, string Error) Run(params string[] arguments)
    {
        using var output = new StringWriter { NewLine = "\n" };
        using var error = new StringWriter { NewLine = "\n" };
        var code = MethodsCommand.Build().Parse(["advise", .. arguments]).Invoke(new() { Output = output, Error = error });
        return (code, output.ToString(), error.ToString());
    }
}
