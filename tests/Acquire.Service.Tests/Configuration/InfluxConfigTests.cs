using Acquire.Service.CommandLine;
using Acquire.Service.Configuration;
using Acquire.Service.Tests.CommandLine;
using Xunit;

namespace Acquire.Service.Tests.Configuration;

public sealed class InfluxConfigTests
{
    private const string Endpoint = """ "url": "https://influx.example/lab", "org": "lab", "bucket": "oils" """;

    [Fact]
    public void Everything_is_read_and_what_is_left_out_has_its_usual_value()
    {
        Assert.True(Parse($$"""{{Endpoint}}, "tokenVariable": "INFLUX_TOKEN", "caFile": "ca.pem", "batchLines": 100, "timeoutSeconds": 3, "lagAlarmSeconds": 60""", out var config));
        Assert.Equal(("https://influx.example/lab/", "lab", "oils", "INFLUX_TOKEN", "ca.pem", 100, 3, 60), (config!.Url.AbsoluteUri, config.Org, config.Bucket, config.TokenVariable, config.CaFile, config.BatchLines, config.TimeoutSeconds, config.LagAlarmSeconds));
        Assert.True(Parse(Endpoint, out var usual));
        Assert.Equal((5000, 10, 300, null, null), (usual!.BatchLines, usual.TimeoutSeconds, usual.LagAlarmSeconds, usual.TokenFile, usual.TokenVariable));
        Assert.True(ConfigFile.TryParse("""{ "testers": [] }""", out var none, out _));
        Assert.Null(none.Influx);
    }

    [Theory]
    [InlineData(Endpoint + """, "token": "s3cret" """, "influx.token", "does not belong in this file")]
    [InlineData(Endpoint + """, "precision": "ms" """, "influx.precision", "always nanoseconds")]
    [InlineData(Endpoint + """, "tokenFile": "a", "tokenVariable": "B" """, "influx.tokenVariable", "allowed: one of them")]
    [InlineData(Endpoint + """, "tokenVariable": "s3cret-==" """, "influx.tokenVariable", "the value is not repeated here")]
    [InlineData(Endpoint + """, "batchLines": 5001 """, "influx.batchLines", "a whole number from 1 to 5000")]
    [InlineData(Endpoint + """, "batchLine": 50 """, "influx.batchLine", "did you mean \"batchLines\"?")]
    [InlineData(Endpoint + """, "timeoutSeconds": 0 """, "influx.timeoutSeconds", "a whole number from 1 to 120")]
    [InlineData(Endpoint + """, "lagAlarmSeconds": 5 """, "influx.lagAlarmSeconds", "a whole number from 10 to 86400")]
    [InlineData(""" "url": "http://h", "org": "lab", "bucket": "oils", "caFile": "ca.pem" """, "influx.caFile", "without TLS")]
    [InlineData(""" "url": "http://u:s3cret@h", "org": "lab", "bucket": "oils" """, "influx.url", "the value is not repeated here")]
    [InlineData(""" "url": "http://h/?token=s3cret", "org": "lab", "bucket": "oils" """, "influx.url", "the value is not repeated here")]
    [InlineData(""" "url": "ftp://h", "org": "lab", "bucket": "oils" """, "influx.url", "the address of a server")]
    [InlineData(""" "url": "http://h", "bucket": "oils" """, "influx.org", "is missing")]
    public void Mistakes_are_named_and_secrets_are_not_repeated(string section, string path, string words)
    {
        Assert.False(ConfigFile.TryParse($$"""{ "testers": [], "influx": { {{section}} } }""", out _, out var errors));
        var error = Assert.Single(errors);
        Assert.Equal(path, error.Path);
        Assert.Contains(words, error.Message, StringComparison.Ordinal);
        Assert.DoesNotContain("s3cret", error.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Check_says_what_was_understood_and_warns_of_what_others_can_read()
    {
        var folder = TestFolders.Make("acquire-influx-");
        var (file, token) = (Path.Combine(folder, "acquire.json"), Path.Combine(folder, "token"));
        File.WriteAllText(file, """{ "testers": [], "influx": { "url": "http://influx.example:8086", "org": "lab", "bucket": "oils", "tokenFile": "token", "batchLines": 10 } }""");
        Assert.Contains("warning  influx.tokenFile: the token cannot be read", Check(file), StringComparison.Ordinal);
        File.WriteAllText(token, "s3cret\n");
        if (!OperatingSystem.IsWindows())
        {
            File.SetUnixFileMode(token, (UnixFileMode)0b110_100_100);
        }

        var warned = Check(file);
        Assert.Contains($"influx   http://influx.example:8086/ (org 'lab', bucket 'oils'), token in {token}", warned, StringComparison.Ordinal);
        Assert.True(OperatingSystem.IsWindows() || warned.Contains($"warning  influx.tokenFile: {token} can be read or changed by every user of this computer", StringComparison.Ordinal), warned);
        Assert.Contains("warning  influx.url: the token and the readings go over the network without encryption", warned, StringComparison.Ordinal);
        Assert.DoesNotContain("s3cret", warned, StringComparison.Ordinal);
        if (!OperatingSystem.IsWindows())
        {
            File.SetUnixFileMode(token, (UnixFileMode)0b110_000_000);
        }

        Assert.DoesNotContain("every user", Check(file), StringComparison.Ordinal);
        File.WriteAllText(token, "two words\n");
        Assert.Contains("holds something else than a token", Check(file), StringComparison.Ordinal);
    }

    private static string Check(string file) => Ran.Command(ConfigCommand.Build(), "check", file).Well().Output;

    private static bool Parse(string section, out InfluxConfig? config)
    {
        var read = ConfigFile.TryParse($$"""{ "testers": [], "influx": { {{section}} } }""", out var all, out var errors);
        Assert.True(read, string.Join("\n", errors));
        config = all?.Influx;
        return read;
    }
}
