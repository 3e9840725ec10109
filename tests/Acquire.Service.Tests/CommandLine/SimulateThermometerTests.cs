using Acquire.Core.Thermometry;
using Acquire.Service.CommandLine;
using Acquire.Service.Configuration;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Service.Tests.CommandLine;

public sealed class SimulateThermometerTests
{
    private readonly string _folder = TestFolders.Make("acquire-simulate-");

    [Fact(Timeout = 30000)]
    public async Task Trace_of_a_named_thermometer_has_its_description_beside_it_and_that_file_gives_the_same_trace()
    {
        var first = Path.Combine(_folder, "first.csv");
        var again = Path.Combine(_folder, "again.csv");
        var description = Path.Combine(_folder, "first.thermometer.json");

        var (code, output, error) = await RunAsync(first, ["--thermometer", "k-uv"], TestContext.Current.CancellationToken);
        await RunAsync(again, ["--thermometer", description], TestContext.Current.CancellationToken);

        Assert.Equal((ExitCode.Done, ""), (code, error));
        Assert.Equal($"{first} (truth: {Path.Combine(_folder, "first.truth.json")}, thermometer: {description})\n", output);
        Assert.True(ThermometerChainFile.TryParse(await File.ReadAllTextAsync(description, TestContext.Current.CancellationToken), out var chain, out _));
        Assert.Equal(new ThermocoupleSensor(ThermocoupleType.K, ReferenceJunctionKind.Measured, null), chain.Sensor);
        var lines = await File.ReadAllLinesAsync(first, TestContext.Current.CancellationToken);
        Assert.Equal("time_s,thermometer_uv,junction_c,detector,flame", lines[0]);
        Assert.Equal(lines, await File.ReadAllLinesAsync(again, TestContext.Current.CancellationToken));
    }

    [Fact(Timeout = 30000)]
    public async Task Faults_come_at_their_times()
    {
        var path = Path.Combine(_folder, "faulty.csv");

        var (code, _, error) = await RunAsync(path, ["--thermometer", "pt100-ohm", "--thermometer-fault", "open-circuit:10:2", "--thermometer-fault", "silent:20:2"], TestContext.Current.CancellationToken);

        Assert.Equal((ExitCode.Done, ""), (code, error));
        var lines = await File.ReadAllLinesAsync(path, TestContext.Current.CancellationToken);
        Assert.All(lines[101..121], line => Assert.Equal("400", line.Split(',')[1]));
        Assert.All(lines[201..221], line => Assert.Equal("", line.Split(',')[1]));
        Assert.All(lines[1..101], line => Assert.StartsWith("109.", line.Split(',')[1], StringComparison.Ordinal));
    }

    [Theory(Timeout = 30000)]
    [InlineData("--thermometer", "k", "--thermometer: 'k' is neither a file nor one of k-uv, pt100-ohm, 4-20-ma")]
    [InlineData("--thermometer-fault", "stuck:1", "--thermometer-fault: 'stuck:1' is not KIND:START:LENGTH, such as stuck:600:90")]
    [InlineData("--thermometer-fault", "reversed:0:9", "--thermometer-fault[0]: 'reversed' cannot be: a temperature or a resistance has no polarity")]
    [InlineData("--thermometer-fault", "silent:1:90000", "--thermometer-fault[0].lengthSeconds: 90000 is not within 0.001 to 86400")]
    public async Task Mistakes_are_named_by_their_option(string option, string value, string complaint)
    {
        var (code, output, error) = await RunAsync(Path.Combine(_folder, "none.csv"), [option, value], TestContext.Current.CancellationToken);

        Assert.Equal((ExitCode.BadInput, "", complaint + "\n"), (code, output, error));
    }

    [Fact(Timeout = 30000)]
    public async Task Mistakes_in_a_file_are_named_with_file_and_key_and_a_sensor_that_ends_too_soon_is_refused()
    {
        var wrong = Path.Combine(_folder, "wrong.json");
        var cold = Path.Combine(_folder, "cold.json");
        await File.WriteAllTextAsync(wrong, """{ "unit": "ohm", "sensor": { "kind": "thermocouple", "type": "K", "referenceJunction": "measured" } }""", TestContext.Current.CancellationToken);
        await File.WriteAllTextAsync(cold, """{ "unit": "uV", "sensor": { "kind": "thermocouple", "type": "T", "referenceJunction": "measured" } }""", TestContext.Current.CancellationToken);

        var mistaken = await RunAsync(Path.Combine(_folder, "none.csv"), ["--thermometer", wrong], TestContext.Current.CancellationToken);
        var short400 = await RunAsync(Path.Combine(_folder, "none.csv"), ["--thermometer", cold, "--fire", "375"], TestContext.Current.CancellationToken);

        Assert.Equal(ExitCode.BadInput, mistaken.Code);
        Assert.StartsWith($"{wrong}: unit: ", mistaken.Error, StringComparison.Ordinal);
        Assert.Equal((ExitCode.BadInput, "", "--thermometer: sensor: ends at 400 °C, but this run goes to about 415 °C\n"), short400);
    }

    [Fact]
    public void Demonstration_tells_the_service_what_its_testers_send()
    {
        using var wire = DemoWire.Open();

        var config = DemoConfig.For(DemoLaboratory.TestersOn(new(2026, 7, 2)), wire, 1883, _folder);

        var second = config.Testers[1];
        Assert.Equal(ThermometerUnit.Microvolt, second.Thermometer.Unit);
        Assert.Empty(ThermometerRules.Check(second.Thermometer, second.Source.Channels.Contains(ReadingChannel.Junction)));
        Assert.All(config.Testers.Where(tester => tester != second), tester => Assert.True(tester.Thermometer.IsPlain));
    }

    private static async Task<(int Code, string Output, string Error)> RunAsync(string path, string[] more, CancellationToken cancellationToken)
    {
        using var output = new StringWriter { NewLine = "\n" };
        using var error = new StringWriter { NewLine = "\n" };
        string[] usual = ["--method", "iso-2592-2017", "--flash", "226", "--rows-per-second", "10", "--out", path];
        var code = await SimulateCommand.Build().Parse([.. usual, .. more]).InvokeAsync(new() { Output = output, Error = error }, cancellationToken);
        return (code, output.ToString(), error.ToString());
    }
}
