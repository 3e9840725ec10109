using System.Text.Json;
using Acquire.Service.CommandLine;
using Xunit;

namespace Acquire.Service.Tests.CommandLine;

public sealed class ScoutingCommandTests : IDisposable
{
    private readonly string _folder = TestFolders.Make("scouting-");

    private string Trace => Path.Combine(_folder, "cold.csv");

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private Ran Simulate(params string[] more) => Ran.Command(SimulateCommand.Build(), ["--method", "astm-d93-20-a", "--flash", "64", "--rows-per-second", "20", "--out", Trace, .. more]);

    private Ran Replay(params string[] more) => Ran.Command(ReplayCommand.Build(), [Trace, "--method", "astm-d93-20-a", "--pressure-kpa", "101.3", .. more]);

    [Fact]
    public void A_simulated_scouting_run_is_replayed_to_what_the_next_run_expects()
    {
        Simulate("--scouting").Well();

        using var report = JsonDocument.Parse(Replay("--scouting", "--json").Well().Output);

        Assert.Equal(JsonValueKind.Null, report.RootElement.GetProperty("reported_flash_c").ValueKind);
        Assert.InRange(report.RootElement.GetProperty("next").GetProperty("expected_flash_c").GetDouble(), 62, 67);
        Assert.Contains("expected flash points up to 110 °C", Replay("--scouting").Well().Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Contradictions_are_refused_by_their_option()
    {
        Simulate("--scouting", "--expected-flash", "64").Refused("--scouting", "contradicts");
        Simulate("--scouting").Well();
        Replay().Refused("--expected-flash", "is missing");
        Replay("--scouting", "--expected-flash", "64").Refused("--scouting", "contradicts");
        Ran.Command(ReplayCommand.Build(), Trace, "--method", "iso-13736-2021", "--scouting").Refused("--scouting", "iso-2719-2016-a");
    }
}
