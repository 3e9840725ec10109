using System.CommandLine;
using Acquire.Core.Methods;
using Acquire.Service.CommandLine;
using Xunit;

namespace Acquire.Service.Tests.CommandLine;

public sealed class MethodsCommandTests
{
    private readonly string _folder = TestFolders.Make("acquire-methods-command-");

    [Fact]
    public void The_list_marks_what_is_from_memory()
    {
        var (code, output, _) = Run("list");

        Assert.Equal(ExitCode.Done, code);
        var lines = output.Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal(MethodCatalog.All.Select(method => method.Id), lines.Select(line => line.Split(' ')[0]));
        Assert.Matches(@"^iso-13736-2021 .*\[\d+ entries from memory\]$", lines.Single(line => line.StartsWith("iso-13736", StringComparison.Ordinal)));
        Assert.DoesNotContain("read only", output, StringComparison.Ordinal);
        Assert.DoesNotContain("[", lines.Single(line => line.StartsWith("bench-open-cup", StringComparison.Ordinal)), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("iso-2719-2016-a", "heating      5 to 6 °C/min, from start to end", "valid flash  18 to 28 °C above the first application", "where the expected flash point is above 110 °C", "precision    flash r 0.029 X °C, R 0.071 X °C", "stirring     90 to 120 r/min, stopped for each application")]
    [InlineData("iso-2719-2016-b", "precision    flash r 2 °C, R 6 °C, residual fuel, up to 100 °C")]
    [InlineData("iso-3679-2022-a", "set point    specification - 0.25 °C/kPa x (101.3 kPa - station), to the nearest 0.5 °C", "charge       2 ± 0.05 mL, wait 60 s (up to 100 °C)")]
    [InlineData("iso-3679-2022-b", "steps        5, then 1, optionally 0.5 °C", "R 0.03 (X + 29) °C, from 20 °C up to 70 °C", "r 0.022 X^0.9 °C")]
    [InlineData("astm-d56-22", "viscosity below 5.5 mm²/s at 40 °C or 9.5 mm²/s at 25 °C", "where the expected flash point is 60 °C or above")]
    [InlineData("astm-d92-18", "fast heating 5 to 17 °C/min, until 56 °C below", "unknown      scouting run: start at 50 °C or below", "[value from memory: compare with a licensed copy]")]
    [InlineData("bench-open-cup", "Figures from common practice, no standard.", "fire point   burns for at least 5 s")]
    public void A_method_is_shown_in_words(string id, params string[] words)
    {
        var (code, output, _) = Run("show", id);

        Assert.Equal(ExitCode.Done, code);
        Assert.All(words, word => Assert.Contains(word, output, StringComparison.Ordinal));
        Assert.Contains("cautions", output, StringComparison.Ordinal);
    }

    [Fact]
    public void The_file_of_a_method_is_valid_once_it_has_its_own_id()
    {
        var shown = Run("show", "iso-13736-2021", "--json").Output;
        var taken = Write("taken.json", shown);
        var own = Write("own.json", shown.Replace("\"iso-13736-2021\"", "\"abel-own\"", StringComparison.Ordinal));

        var (code, _, error) = Run("validate", taken);
        Assert.Equal(ExitCode.BadInput, code);
        Assert.StartsWith($"{taken}: id: 'iso-13736-2021' belongs to", error, StringComparison.Ordinal);
        var valid = Run("validate", own);
        Assert.Equal((ExitCode.Done, ""), (valid.Code, valid.Error));
        Assert.StartsWith($"{own}: abel-own, Abel closed cup", valid.Output, StringComparison.Ordinal);
        File.Delete(taken);
        Assert.Equal(MethodCatalog.All.Count + 1, Run("list", "--methods", _folder).Output.Split('\n', StringSplitOptions.RemoveEmptyEntries).Length);
        Assert.Contains("abel-own: Abel", Run("show", "abel-own", "--methods", _folder).Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Every_mistake_of_every_file_is_told_with_key_and_line()
    {
        var first = Write("first.json", "{\n  \"id\": \"First\",\n  \"colour\": 1\n}");
        var second = Path.Combine(_folder, "second.json");

        var (code, output, error) = Run("validate", first, second);

        Assert.Equal((ExitCode.BadInput, ""), (code, output));
        Assert.Contains($"{second}: the file cannot be read", error, StringComparison.Ordinal);
        Assert.Contains($"{first}: colour: there is no such key.", error, StringComparison.Ordinal);
        Assert.Contains("(line 3)", error, StringComparison.Ordinal);
        Assert.Contains($"{first}: rounding: is missing", error, StringComparison.Ordinal);
    }

    [Fact]
    public void The_schema_is_printed_as_it_is() => Assert.Equal((ExitCode.Done, MethodSchema.Text, ""), Run("schema"));

    [Fact]
    public void A_replay_by_a_method_of_the_laboratory_is_one_line_of_JSON()
    {
        Write("own.json", MethodFile.ToJson(MethodCatalog.All.Single(method => method.Id == "bench-open-cup") with { Id = "house" }));
        var traces = Directory.CreateDirectory(Path.Combine(_folder, "traces")).FullName;
        var trace = Path.Combine(traces, "trace.csv");
        Assert.Equal(ExitCode.Done, Invoke(SimulateCommand.Build(), "--method", "house", "--methods", _folder, "--flash", "80", "--fire", "90", "--rows-per-second", "20", "--out", trace).Code);

        var (code, output, error) = Invoke(ReplayCommand.Build(), trace, "--method", "house", "--methods", _folder, "--expected-flash", "80", "--pressure-kpa", "101.3", "--json");

        Assert.Equal((ExitCode.Done, ""), (code, error));
        Assert.StartsWith("{", Assert.Single(output.Split('\n', StringSplitOptions.RemoveEmptyEntries)), StringComparison.Ordinal);
        Assert.Contains("\"verdict\":\"valid\"", output, StringComparison.Ordinal);
    }

    private string Write(string name, string text)
    {
        var path = Path.Combine(_folder, name);
        File.WriteAllText(path, text);
        return path;
    }

    private static (int Code, string Output, string Error) Run(params string[] arguments) => Invoke(MethodsCommand.Build(), arguments);

    private static (int Code, string Output, string Error) Invoke(Command command, params string[] arguments)
    {
        using var output = new StringWriter { NewLine = "\n" };
        using var error = new StringWriter { NewLine = "\n" };
        var code = command.Parse(arguments).Invoke(new() { Output = output, Error = error });
        return (code, output.ToString(), error.ToString());
    }
}
