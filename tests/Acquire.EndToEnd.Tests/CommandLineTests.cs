using System.Globalization;
using System.Net;
using System.Net.Sockets;
using Acquire.EndToEnd.Tests.Rig;
using Xunit;

namespace Acquire.EndToEnd.Tests;

/// <summary>What the program tells the shell and the person before it.</summary>
public sealed class CommandLineTests
{
    private const string Method = "iso-2592-2017";

    [Theory(Timeout = 120_000)]
    [InlineData]
    [InlineData("serve")]
    [InlineData("demo")]
    [InlineData("replay")]
    [InlineData("simulate")]
    [InlineData("convert")]
    [InlineData("lag")]
    [InlineData("devices")]
    [InlineData("devices", "list")]
    [InlineData("devices", "watch")]
    [InlineData("devices", "record")]
    [InlineData("devices", "play")]
    [InlineData("methods")]
    [InlineData("methods", "list")]
    [InlineData("methods", "show")]
    [InlineData("methods", "advise")]
    public async Task Help_explains_each_verb(params string[] verb)
    {
        var ended = await AcquireProgram.RunAsync([.. verb, "--help"]);
        Assert.Equal(0, ended.Code);
        Assert.Contains("Usage:", ended.Output, StringComparison.Ordinal);
        Assert.Contains(string.Join(' ', verb), ended.Output, StringComparison.Ordinal);
    }

    [Theory(Timeout = 120_000)]
    [InlineData("fly")]
    [InlineData("serve", "--fly")]
    [InlineData("demo", "--speed", "fast")]
    [InlineData("demo", "--speed", "61")]
    [InlineData("replay")]
    [InlineData("replay", "x.csv", "--method", Method)]
    [InlineData("simulate", "--method", Method, "--flash", "200")]
    [InlineData("simulate", "--method", Method, "--flash", "200", "--mqtt", "nowhere")]
    [InlineData("simulate", "--method", Method, "--flash", "200", "--serial", "/dev/no-such-port")]
    [InlineData("methods", "show", "no-such-method")]
    [InlineData("methods", "advise", "--product", "milk")]
    [InlineData("convert")]
    [InlineData("convert", "--type", "Pt100", "--ohms", "138,51")]
    [InlineData("convert", "--type", "Pt100", "--emf-mv", "4.096")]
    [InlineData("lag")]
    [InlineData("lag", "no-such-file.csv", "--step")]
    [InlineData("devices")]
    [InlineData("devices", "watch")]
    [InlineData("devices", "watch", "--port", "/dev/none", "--baud-rate", "fast")]
    [InlineData("devices", "record")]
    [InlineData("devices", "play", "no-such-file.wire")]
    public async Task A_command_line_that_cannot_be_used_ends_with_2_and_says_why(params string[] arguments) =>
        AssertRefused(await AcquireProgram.RunAsync(arguments));

    [Fact(Timeout = 120_000)]
    public async Task The_methods_are_listed_and_shown_with_their_sources()
    {
        var list = await AcquireProgram.RunAsync("methods", "list");
        Assert.Equal(0, list.Code);
        Assert.Contains(Method, list.Output, StringComparison.Ordinal);
        var shown = await AcquireProgram.RunAsync("methods", "show", Method);
        Assert.Equal(0, shown.Code);
        Assert.Contains("sources", shown.Output, StringComparison.Ordinal);
    }

    [Fact(Timeout = 120_000)]
    public async Task A_signal_is_converted_with_a_negative_number_too()
    {
        // NIST SRD 60, type K: -1.889 mV at -50 °C.
        var there = await AcquireProgram.RunAsync("convert", "--type", "K", "--emf-mv", "-1.889", "--reference-junction-c", "0");
        Assert.True(there.Code == 0, there.Error);
        Assert.StartsWith("type K, -1.889 mV, reference junction 0 °C: -49.9", there.Output, StringComparison.Ordinal);
        var back = await AcquireProgram.RunAsync("convert", "--temperature-c", "-50", "--to", "K", "--json");
        Assert.True(back.Code == 0, back.Error);
        Assert.Contains("\"emf_mv\":-1.889", back.Output, StringComparison.Ordinal);
    }

    [Theory(Timeout = 120_000)]
    [InlineData("""{ "testers": [ { "id": "a", "source": { "kind": "serial", "port": "/dev/x", "baudRate": 5, "columns": [ { "channel": "temperature", "unit": "degC" } ] } } ] }""", "testers[0].source.baudRate")]
    [InlineData("""{ "listen": "http://127.0.0.1:0", "colour": "red" }""", "colour")]
    [InlineData("""{ "testers": [ { "id": "A b" } ] }""", "testers[0].id")]
    [InlineData("""{ "testers": [ { "id": "a", "autoStart": { "methodId": "no-such-method", "expectedFlashCelsius": 200, "specimen": "x" }, "source": { "kind": "serial", "port": "/dev/x", "columns": [ { "channel": "temperature", "unit": "degC" } ] } } ] }""", "testers[0].autoStart.methodId")]
    [InlineData("""{ "listen": "http://0.0.0.0:5080" }""", "listen")]
    [InlineData("{", "line 1")]
    public async Task A_bad_configuration_ends_with_2_and_names_the_file_and_the_key(string config, string key)
    {
        using var folder = new TestFolder();
        var path = folder.Write("acquire.json", config);
        AssertRefused(await AcquireProgram.RunAsync("serve", "--config", path), $"{path}: {key}: ");
    }

    [Fact(Timeout = 120_000)]
    public async Task A_configuration_that_is_not_there_ends_with_2_and_names_it() =>
        AssertRefused(await AcquireProgram.RunAsync("serve", "--config", "/nowhere/acquire.json"), "/nowhere/acquire.json");

    [Fact(Timeout = 120_000)]
    public async Task A_port_in_use_ends_the_start_and_names_the_key()
    {
        using var folder = new TestFolder();
        using var other = new TcpListener(IPAddress.Loopback, 0);
        other.Start();
        var address = string.Create(CultureInfo.InvariantCulture, $"http://127.0.0.1:{((IPEndPoint)other.LocalEndpoint).Port}");
        var ended = await AcquireProgram.RunAsync("serve", "--config", folder.Write("acquire.json", ConfigText.Of()), "--listen", address);
        Assert.Equal(1, ended.Code);
        Assert.Contains("listen", ended.Error, StringComparison.Ordinal);
        Assert.Contains(address, ended.Error, StringComparison.Ordinal);
        Assert.DoesNotContain("   at ", ended.Error, StringComparison.Ordinal);
    }

    [Fact(Timeout = 120_000)]
    public async Task A_method_that_is_not_known_ends_with_2_and_names_those_that_are()
    {
        using var folder = new TestFolder();
        var trace = folder.Write("a.csv", "time_s,temperature_c,detector\n0,20,1\n");
        AssertRefused(await AcquireProgram.RunAsync("replay", trace, "--method", "astm", "--expected-flash", "200"), "--method", Method);
        AssertRefused(await AcquireProgram.RunAsync("simulate", "--method", "astm", "--flash", "200", "--out", folder["b.csv"]), "--method", Method);
        Assert.False(File.Exists(folder["b.csv"]));
    }

    [Theory(Timeout = 120_000)]
    [InlineData("time_s,temperature_c,detector\n0,20,1\n1,warm,1\n", ", line 3, temperature_c")]
    [InlineData("time_s,temperature_c\n0,20\n", ", line 1")]
    [InlineData("time_s,temperature_c,detector\n0,20,1\n1,21\n", ", line 3")]
    [InlineData("", ": is empty")]
    public async Task A_bad_trace_ends_with_2_and_names_file_and_line(string text, string place)
    {
        using var folder = new TestFolder();
        var trace = folder.Write("bad.csv", text);
        AssertRefused(await ReplayAsync(trace), trace + place);
    }

    [Fact(Timeout = 120_000)]
    public async Task A_folder_without_traces_and_a_path_that_is_not_there_end_with_2()
    {
        using var folder = new TestFolder();
        AssertRefused(await ReplayAsync(folder.Path), folder.Path, ".csv");
        AssertRefused(await ReplayAsync(folder["no.csv"]), "no.csv");
    }

    [Fact(Timeout = 120_000)]
    public async Task A_folder_of_traces_is_judged_whole_and_an_invalid_run_ends_with_1()
    {
        using var folder = new TestFolder();
        await SimulateAsync(folder["a-held.csv"], "5.5");
        await SimulateAsync(folder["b-rushed.csv"], "15");
        var ended = await ReplayAsync(folder.Path, "--json");
        Assert.Equal(1, ended.Code);
        var answers = ended.Output.Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(ReplayAnswer.Read).ToArray();
        Assert.Equal([folder["a-held.csv"], folder["b-rushed.csv"]], answers.Select(answer => answer.Trace));
        Assert.Equal([Core.Results.Verdict.Valid, Core.Results.Verdict.Invalid], answers.Select(answer => answer.Verdict));
        Assert.Null(answers[1].ReportedFlashC);
        var words = await ReplayAsync(folder["b-rushed.csv"]);
        Assert.Equal(1, words.Code);
        Assert.Contains("not to be reported", words.Output, StringComparison.Ordinal);
    }

    private static async Task SimulateAsync(string path, string rate)
    {
        var ended = await AcquireProgram.RunAsync("simulate", "--method", Method, "--flash", "200", "--fire", "226", "--ramp-rate", rate, "--seed", "7", "--out", path);
        Assert.True(ended.Code == 0, ended.Error);
    }

    private static Task<Ended> ReplayAsync(string trace, params string[] more) =>
        AcquireProgram.RunAsync(["replay", trace, "--method", Method, "--expected-flash", "200", "--pressure-kpa", "101.3", .. more]);

    /// <summary>Exit code 2, a reason with these words, and no stack trace.</summary>
    private static void AssertRefused(Ended ended, params string[] words)
    {
        Assert.Equal(2, ended.Code);
        Assert.False(string.IsNullOrWhiteSpace(ended.Error), "no reason was given");
        foreach (var word in words)
        {
            Assert.Contains(word, ended.Error, StringComparison.Ordinal);
        }

        Assert.DoesNotContain("   at ", ended.Error + ended.Output, StringComparison.Ordinal);
    }
}
