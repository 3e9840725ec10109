using Acquire.Core.Readings;
using Acquire.Service.CommandLine;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Service.Tests.CommandLine;

public sealed class SituationsCommandTests
{
    private readonly string _folder = TestFolders.Make("acquire-situations-");

    [Fact]
    public void All_are_listed_with_what_should_be_concluded()
    {
        var lines = Ran.Command(SituationsCommand.Build(), "list").Well().Output.Split('\n', StringSplitOptions.RemoveEmptyEntries);

        Assert.Equal(SituationCatalog.All.Select(situation => situation.Name), lines.Select(line => line.Split(' ')[0]));
        Assert.All(SituationCatalog.All.Zip(lines), pair => Assert.EndsWith($"[{pair.First.Expected}]", pair.Second.TrimEnd(), StringComparison.Ordinal));
    }

    [Fact]
    public void One_is_shown_with_what_to_do_its_caution_and_the_commands_that_play_it()
    {
        var text = Ran.Command(SituationsCommand.Build(), "show", "stuck-relay").Well().Output;

        Assert.Contains("CAUTION", text, StringComparison.Ordinal);
        Assert.Contains("Pull the plug", text, StringComparison.Ordinal);
        Assert.Contains("acquire simulate --situation stuck-relay --out stuck-relay.csv", text, StringComparison.Ordinal);
        Assert.Contains("no safety device", text, StringComparison.Ordinal);
        Ran.Command(SituationsCommand.Build(), "show", "earthquake").Refused("NAME", "'earthquake' is no situation", "clean-run");
    }

    [Fact(Timeout = 60000)]
    public async Task What_is_checked_is_said_and_a_difference_ends_with_a_code_of_its_own()
    {
        var checkedOne = await Task.Run(() => Ran.Command(SituationsCommand.Build(), "check", "expected-too-high", "--seed", "5").Well(), TestContext.Current.CancellationToken);

        Assert.Equal("as expected  expected-too-high, seed 5: invalid, flash found, flash-at-first-application", checkedOne.Output.Trim());
        Ran.Command(SituationsCommand.Build(), "check", "earthquake").Refused("NAME", "'earthquake' is no situation");
    }

    [Fact(Timeout = 60000)]
    public async Task A_situation_is_played_with_what_may_stand_beside_it()
    {
        var path = Path.Combine(_folder, "late.csv");

        var (code, output, error) = await RunAsync(TestContext.Current.CancellationToken, "--situation", "flame-never-lit", "--seed", "7", "--rows-per-second", "10", "--pressure-kpa", "98", "--disturb", "spikes:0.1", "--out", path);

        Assert.Equal((ExitCode.Done, "Situation flame-never-lit: The test flame was never lit. The tester tells whether it burns. Acquire should conclude: invalid, no flash point, no-flash, test-flame-out.\n"), (code, error));
        Assert.StartsWith(path, output, StringComparison.Ordinal);
        var truth = TraceWriter.ParseTruth(await File.ReadAllTextAsync(Path.ChangeExtension(path, ".truth.json"), TestContext.Current.CancellationToken));
        Assert.Equal(("flame-never-lit", 7ul, 10, 98), (truth.Options.Situation, truth.Seed, truth.Options.RowsPerSecond, truth.Options.StationPressureKilopascals));
        Assert.Equal([DisturbanceKind.FlameOut, DisturbanceKind.Spikes], truth.Options.Disturbances.Select(one => one.Kind));
        var trace = TraceReader.Read(path, await File.ReadAllLinesAsync(path, TestContext.Current.CancellationToken));
        Assert.Empty(trace.Errors);
        Assert.All(trace.Rows, row => Assert.False(row.Lit));
    }

    [Theory(Timeout = 30000)]
    [InlineData("--situation: 'earthquake' is no situation; there are clean-run", "--situation", "earthquake")]
    [InlineData("--flash: is the situation's own; beside --situation may stand --seed", "--situation", "clean-run", "--flash", "200")]
    [InlineData("--driven: is the situation's own", "--situation", "clean-run", "--driven")]
    [InlineData("--disturb: 'quake' is no disturbance; there are draught", "--situation", "clean-run", "--disturb", "quake")]
    [InlineData("--disturb[1].strength: 99 is not within 0.1 to 20", "--situation", "drifting-detector", "--disturb", "drift:99", "--out", "none.csv")]
    [InlineData("--method: is required, unless --situation is given", "--flash", "200")]
    [InlineData("--flash: give exactly one of --flash CELSIUS and --specimen NAMES, unless --situation is given", "--method", "iso-2592-2017")]
    [InlineData("--detectors: 'three' is neither one nor two", "--method", "iso-2592-2017", "--flash", "200", "--detectors", "three")]
    [InlineData("--detector: 'optical' is none of plain, thermal, ionisation", "--method", "iso-2592-2017", "--flash", "200", "--detector", "optical")]
    [InlineData("--hum-hertz: 0 is not within 0.01 to 500", "--method", "iso-2592-2017", "--flash", "200", "--hum-hertz", "0", "--out", "none.csv")]
    [InlineData("--disturb: are for a tester that is not driven", "--method", "iso-2592-2017", "--flash", "200", "--driven", "--disturb", "hum")]
    public async Task Mistakes_are_named_by_their_option(string complaint, params string[] arguments)
    {
        var (code, output, error) = await RunAsync(TestContext.Current.CancellationToken, arguments);

        Assert.Equal((ExitCode.BadInput, ""), (code, output));
        Assert.StartsWith(complaint, error, StringComparison.Ordinal);
    }

    private static async Task<(int Code, string Output, string Error)> RunAsync(CancellationToken cancellationToken, params string[] arguments)
    {
        using var output = new StringWriter { NewLine = "\n" };
        using var error = new StringWriter { NewLine = "\n" };
        var code = await SimulateCommand.Build().Parse(arguments).InvokeAsync(new() { Output = output, Error = error }, cancellationToken);
        return (code, output.ToString(), error.ToString());
    }
}
