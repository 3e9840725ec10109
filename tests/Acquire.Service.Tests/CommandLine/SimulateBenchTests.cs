using Acquire.Core.Readings;
using Acquire.Service.CommandLine;
using Xunit;

namespace Acquire.Service.Tests.CommandLine;

public sealed class SimulateBenchTests
{
    private readonly string _folder = TestFolders.Make("acquire-simulate-");

    [Fact(Timeout = 30000)]
    public async Task A_trace_tells_of_the_bench_what_was_asked_for_and_its_faults_at_their_times()
    {
        var path = Path.Combine(_folder, "bench.csv");

        var (code, _, error) = await RunAsync(path, ["--bench", "lit, air", "--bench-fault", "flame-out:10:2", "--bench-fault", "draught:20:5"], TestContext.Current.CancellationToken);

        Assert.Equal((ExitCode.Done, ""), (code, error));
        var trace = TraceReader.Read(path, await File.ReadAllLinesAsync(path, TestContext.Current.CancellationToken));
        Assert.Empty(trace.Errors);
        Assert.All(trace.Rows, row => Assert.Equal(RowChannels.Lit | RowChannels.Air, row.Present & ReadingRow.BenchChannels));
        Assert.All(trace.Rows, row => Assert.Equal((row.AtSeconds is < 10 or >= 12, row.AtSeconds is >= 20 and < 25), (row.Lit, row.AirMetresPerSecond > 0.3)));
    }

    [Theory(Timeout = 30000)]
    [InlineData("--bench", "lit,smoke", "--bench: 'smoke' is nothing that a bench tells; there are stirrer, stirring, lit, air, ambient")]
    [InlineData("--bench", "stirrer,stirring", "--bench: 'Stirrer, Stirring' is not made of stirrer or stirring, lit, air, ambient")]
    [InlineData("--bench-fault", "draught:1", "--bench-fault: 'draught:1' is not KIND:START:LENGTH, such as draught:600:90; kinds: stirrer-on, stirrer-stands, stirrer-fast, flame-out, draught, room-warms")]
    [InlineData("--bench-fault", "draught:1:90000", "--bench-fault[0]: a start of 1 s or a length of 90000 s is not within 0 to 86400 s and 0.001 to 86400 s")]
    public async Task Mistakes_are_named_by_their_option(string option, string value, string complaint)
    {
        var (code, output, error) = await RunAsync(Path.Combine(_folder, "none.csv"), [option, value], TestContext.Current.CancellationToken);

        Assert.Equal((ExitCode.BadInput, "", complaint + "\n"), (code, output, error));
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
