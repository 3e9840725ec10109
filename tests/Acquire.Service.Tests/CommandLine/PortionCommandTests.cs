using System.Text.Json;
using Acquire.Service.CommandLine;
using Xunit;

namespace Acquire.Service.Tests.CommandLine;

public sealed class PortionCommandTests : IDisposable
{
    private readonly string _folder = TestFolders.Make("portions-");

    private string Trace => Path.Combine(_folder, "cup.csv");

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private Ran Simulate(string method, params string[] more) => Ran.Command(SimulateCommand.Build(), ["--method", method, "--flash", "62.3", "--rows-per-second", "20", "--out", Trace, .. more]);

    private Ran Replay(string method, params string[] more) => Ran.Command(ReplayCommand.Build(), [Trace, "--method", method, "--pressure-kpa", "101.3", .. more]);

    [Fact]
    public void A_simulated_search_is_replayed_to_the_flash_point_with_the_portions_beside_the_trace()
    {
        Simulate("iso-3679-2022-b", "--expected-flash", "66").Well();

        using var report = JsonDocument.Parse(Replay("iso-3679-2022-b", "--expected-flash", "66", "--json").Well().Output);

        Assert.Equal("valid", report.RootElement.GetProperty("verdict").GetString());
        Assert.InRange(report.RootElement.GetProperty("reported_flash_c").GetDouble(), 62, 63.5);
        Assert.True(report.RootElement.GetProperty("portions").GetArrayLength() >= 4);
    }

    [Fact]
    public void A_specification_is_answered_in_plain_words()
    {
        Simulate("iso-3679-2022-a", "--specification", "60").Well();

        Assert.Contains("No flash at the specification temperature of 60 °C", Replay("iso-3679-2022-a", "--specification", "60").Well().Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Without_the_portions_nothing_is_judged()
    {
        Simulate("iso-3679-2022-b").Well();
        File.Delete(Path.Combine(_folder, "cup.observations.csv"));

        Replay("iso-3679-2022-b", "--expected-flash", "62").Refused(Path.Combine(_folder, "cup.observations.csv"), "cannot be read");
    }

    [Fact]
    public void What_the_method_cannot_have_is_refused_by_its_option()
    {
        Simulate("iso-3679-2022-a").Refused("--specification", "is missing");
        Simulate("iso-3679-2022-b", "--specification", "60").Refused("--specification", "is not for");
        Simulate("iso-2592-2017", "--fine-step").Refused("--fine-step", "is not for");
    }
}
