using System.Text.Json;
using Acquire.Service.CommandLine;
using Xunit;

namespace Acquire.Service.Tests.CommandLine;

public sealed class SimulateSpecimenTests
{
    private readonly string _folder = TestFolders.Make("acquire-specimen-");

    private string Trace => Path.Combine(_folder, "cup.csv");

    private Ran Simulate(params string[] more) => Ran.Command(SimulateCommand.Build(), ["--method", "iso-2719-2016-a", "--rows-per-second", "10", "--out", Trace, .. more]);

    [Fact]
    public void A_specimen_takes_the_place_of_a_flash_point_and_the_truth_says_both()
    {
        Simulate("--specimen", "n-dodecane:0.9,n-decane:0.1", "--pressure-kpa", "95").Well();

        using var truth = JsonDocument.Parse(File.ReadAllText(Path.ChangeExtension(Trace, ".truth.json")));
        var root = truth.RootElement;
        Assert.Equal("n-dodecane:0.9,n-decane:0.1", root.GetProperty("options").GetProperty("specimen").GetString());
        var computed = root.GetProperty("specimen");
        Assert.Equal("112-40-3", computed.GetProperty("parts")[0].GetProperty("cas").GetString());
        Assert.InRange(computed.GetProperty("flashCelsius").GetDouble(), 60, 76);
        Assert.InRange(computed.GetProperty("flashCelsius").GetDouble() - computed.GetProperty("flashAtStationCelsius").GetDouble(), 0.8, 1.6);
        Assert.InRange(root.GetProperty("flash").GetProperty("temperatureCelsius").GetDouble() - root.GetProperty("flashAtStationCelsius").GetDouble(), -1, 2);
    }

    [Fact]
    public void Exactly_one_of_flash_point_and_specimen_is_asked_for()
    {
        Simulate().Refused("--flash", "exactly one of --flash CELSIUS and --specimen NAMES");
        Simulate("--flash", "70", "--specimen", "n-dodecane").Refused("--flash", "exactly one of");
        Simulate("--specimen", "n-dodecane", "--fire", "90").Refused("--fire", "follows from its liquids");
    }

    [Fact]
    public void Mistakes_name_what_is_allowed()
    {
        Simulate("--specimen", "kerosene").Refused("--specimen", "'kerosene'", "n-hexane, n-heptane");
        Simulate("--specimen", "n-octane").Refused("--specimen", "n-octane flashes at 14.5 °C", "not within 40 to 370");
        Simulate("--specimen", "n-dodecane", "--thermometer-drift", "40").Refused("--thermometer-drift", "not within -10 to 10");
        Simulate("--specimen", "n-dodecane", "--pressure-kpa", "0").Refused("--pressure-kpa", "60 to 110");
    }

    [Fact]
    public void The_known_liquids_are_listed_with_computed_and_published_flash_points_and_their_sources()
    {
        var listed = Ran.Command(SimulateCommand.Build(), "specimens").Well().Output;

        Assert.Matches("n-nonane +111-84-2 +0.85 +32.0 +31.0 +NFPA 497:2008; Bureau of Mines Bulletin 627", listed);
        Assert.Contains("Perry's Chemical Engineers' Handbook", listed, StringComparison.Ordinal);
        Assert.Contains("ethanol + water", listed, StringComparison.Ordinal);
        Assert.Matches("water +7732-18-5 .*does not burn", listed);
    }
}
