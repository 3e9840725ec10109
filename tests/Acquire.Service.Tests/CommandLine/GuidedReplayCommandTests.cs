using System.Text.Json;
using Acquire.Core.Runs;
using Acquire.Service.CommandLine;
using Acquire.Service.Configuration;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Service.Tests.CommandLine;

/// <summary>A cup that is worked by hand goes from `simulate` to `replay` in two files.</summary>
public sealed class GuidedReplayCommandTests
{
    private readonly string _folder = TestFolders.Make("acquire-guided-");

    private string Trace => Path.Combine(_folder, "oil.csv");

    private string Seen => Path.Combine(_folder, "oil.observations.csv");

    private Ran Simulate(params string[] more) =>
        Ran.Command(SimulateCommand.Build(), ["--method", "iso-2592-2017", "--flash", "180", "--fire", "194", "--rows-per-second", "10", "--out", Trace, "--guided", .. more]);

    private static Ran Replay(string trace, params string[] more) =>
        Ran.Command(ReplayCommand.Build(), [trace, "--method", "iso-2592-2017", "--expected-flash", "180", "--pressure-kpa", "101.3", .. more]);

    private static JsonElement Report(Ran ran)
    {
        using var document = JsonDocument.Parse(ran.Output);
        return document.RootElement.Clone();
    }

    [Fact]
    public void Trace_and_observations_are_written_and_judged_to_the_flash_that_was_seen()
    {
        var written = Simulate().Well();

        Assert.Equal($"{Trace} (truth: {Path.Combine(_folder, "oil.truth.json")}, observations: {Seen})\n", written.Output);
        Assert.Equal("time_s,temperature_c,detector", File.ReadLines(Trace).First());
        Assert.EndsWith(",", File.ReadLines(Trace).Last(), StringComparison.Ordinal);
        var truth = TraceWriter.ParseTruth(File.ReadAllText(Path.Combine(_folder, "oil.truth.json")));
        var report = Report(Replay(Trace, "--guided", "--json").Well());
        Assert.Equal("valid", report.GetProperty("verdict").GetString());
        Assert.InRange(report.GetProperty("observed_flash_c").GetDouble() - truth.Flash!.TemperatureCelsius, -0.1, 0.5);
        Assert.InRange(report.GetProperty("observed_fire_c").GetDouble() - truth.Fire!.TemperatureCelsius, -0.1, 0.5);
        Assert.Equal(truth.Applications.Count, report.GetProperty("applications").GetArrayLength());
        Assert.Equal(report.ToString(), Report(Replay(Trace, "--observations", Seen, "--json").Well()).ToString());
    }

    [Fact]
    public void A_folder_holds_traces_and_what_was_seen_beside_each()
    {
        Simulate("--mistake", "taken-back:3:flash").Well();

        var ran = Replay(_folder, "--guided").Well();

        Assert.StartsWith($"{Trace}: valid\n", ran.Output, StringComparison.Ordinal);
        Assert.DoesNotContain(".observations.csv", ran.Output, StringComparison.Ordinal);
        Assert.Contains("taken-back", File.ReadAllText(Seen), StringComparison.Ordinal);
    }

    [Fact]
    public void Without_what_was_seen_a_guided_trace_is_not_judged()
    {
        Simulate().Well();
        File.Delete(Seen);

        Replay(Trace, "--guided").Refused(Seen, "cannot be read", "give it with --observations");
    }

    [Fact]
    public void A_damaged_file_of_what_was_seen_is_refused_by_line_and_column()
    {
        Simulate().Well();
        File.AppendAllText(Seen, "9999,flsh\n");

        var lines = File.ReadLines(Seen).Count();
        Replay(Trace, "--guided").Refused($"{Seen}, line {lines}, entry", "'flsh'", "went-out");
    }

    [Fact]
    public void Mistakes_are_named_by_their_option()
    {
        Simulate("--mistake", "slow:1").Refused("--mistake", "'slow:1'", "late:APPLICATION:SECONDS");
        Simulate("--mistake", "late:1:90").Refused("--mistake[0].seconds", "0 to 60");
        Simulate("--reaction", "0").Refused("--reaction", "0.2 to 10");
        Ran.Command(SimulateCommand.Build(), "--method", "iso-2592-2017", "--flash", "180", "--out", Trace, "--mistake", "missed:3").Refused("--mistake", "--guided");
        Replay(_folder, "--observations", Seen).Refused("--observations", "for one trace");
        Simulate().Well();
        Replay(Trace, "--guided", "--prompt-lead", "31").Refused("--prompt-lead", "0 to 30");
    }

    [Fact]
    public void The_demonstration_has_a_tester_that_is_worked_by_hand_and_sends_its_thermometer_alone()
    {
        using var wire = DemoWire.Open();

        var config = DemoConfig.For(DemoLaboratory.TestersOn(new(2026, 7, 2)), wire, 1883, _folder);

        var guided = Assert.Single(config.Testers, tester => tester.Mode == RunMode.Guided);
        var fields = Assert.IsType<TopicConfig.Json>(Assert.Single(Assert.IsType<SourceConfig.Mqtt>(guided.Source).Topics)).Fields;
        Assert.Equal([ReadingChannel.Time, ReadingChannel.Temperature], fields.Select(field => field.Channel));
    }
}
