using Acquire.Service.CommandLine;
using Xunit;

namespace Acquire.Service.Tests.CommandLine;

/// <summary>`acquire simulate --driven` without a wire: the whole loop in one process.</summary>
public sealed class SimulateDrivenTests
{
    private static readonly string[] Quick = ["--driven", "--method", "bench-open-cup", "--flash", "70", "--fire", "74", "--rows-per-second", "20"];

    private readonly string _folder = TestFolders.Make("acquire-driven-");

    [Fact]
    public void It_says_the_result_what_came_of_driving_and_what_really_happened()
    {
        var ran = Ran.Command(SimulateCommand.Build(), Quick).Well();

        Assert.Contains("bench-open-cup: valid", ran.Output, StringComparison.Ordinal);
        Assert.Contains("controlled   ", ran.Output, StringComparison.Ordinal);
        Assert.Contains("heater off   heater-result-complete at ", ran.Output, StringComparison.Ordinal);
        Assert.Contains("really       flash at ", ran.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void The_trace_it_writes_is_judged_alike_by_replay()
    {
        var path = Path.Combine(_folder, "driven.csv");
        var played = Ran.Command(SimulateCommand.Build(), [.. Quick, "--out", path]).Well();

        var judged = Ran.Command(ReplayCommand.Build(), [path, "--method", "bench-open-cup", "--expected-flash", "70", "--pressure-kpa", "101.3"]).Well();

        Assert.Equal("time_s,temperature_c,detector,flame,command,heater", File.ReadLines(path).First());
        Assert.Equal(judged.Output.Split('\n')[..4], played.Output.Split('\n')[..4]);
        Assert.True(File.Exists(Path.ChangeExtension(path, ".truth.json")));
    }

    [Fact]
    public void A_fault_shows_in_what_is_printed()
    {
        var ran = Ran.Command(SimulateCommand.Build(), [.. Quick, "--tester-fault", "drops-commands:120:1", "--thermal-mass", "1.5", "--unknown-heater"]).Well();

        Assert.Contains("heater off   heater-not-acknowledged at ", ran.Output, StringComparison.Ordinal);
        Assert.Contains("bench-open-cup: invalid", ran.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void A_driven_scouting_run_says_what_to_expect()
    {
        var ran = Ran.Command(SimulateCommand.Build(), ["--driven", "--scouting", "--method", "bench-open-cup", "--flash", "70", "--rows-per-second", "20"]).Well();

        Assert.Contains("bench-open-cup: valid", ran.Output, StringComparison.Ordinal);
        Assert.Contains("Next: a fresh test portion", ran.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void A_driven_search_by_steps_writes_its_portions_beside_the_trace_and_replay_judges_it_alike()
    {
        var path = Path.Combine(_folder, "block.csv");
        var played = Ran.Command(SimulateCommand.Build(), ["--driven", "--method", "iso-3679-2022-b", "--flash", "41.3", "--expected-flash", "42", "--rows-per-second", "25", "--out", path]).Well();

        var judged = Ran.Command(ReplayCommand.Build(), [path, "--method", "iso-3679-2022-b", "--expected-flash", "42", "--pressure-kpa", "101.3"]).Well();

        Assert.Contains("block.csv: valid", played.Output, StringComparison.Ordinal);
        Assert.Contains("block        ", played.Output, StringComparison.Ordinal);
        Assert.Equal(judged.Output.Split('\n')[..4], played.Output.Split('\n')[..4]);
        Assert.True(File.Exists(Path.ChangeExtension(path, ".observations.csv")));
    }

    [Fact]
    public void Mistakes_are_named_by_their_option()
    {
        Ran.Command(SimulateCommand.Build(), [.. Quick, "--thermal-mass", "9"]).Refused("--thermal-mass", "9 is not within 0.25 to 4");
        Ran.Command(SimulateCommand.Build(), [.. Quick, "--tester-fault", "sticks:0"]).Refused("--tester-fault", "stuck-relay");
        Ran.Command(SimulateCommand.Build(), [.. Quick, "--tester-fault", "obeys-late:0:99"]).Refused("--tester-fault[0].value", "0.01 to 60");
        Ran.Command(SimulateCommand.Build(), ["--driven", "--method", "bench-open-cup", "--flash", "7000"]).Refused("--flash", "is not within");
        Ran.Command(SimulateCommand.Build(), [.. Quick[1..], "--unknown-heater", "--out", Path.Combine(_folder, "x.csv")]).Refused("--unknown-heater", "--driven");
    }
}
