using System.Net;
using Acquire.Service.Configuration;
using Xunit;

namespace Acquire.Service.Tests.Configuration;

public sealed class MqttConfigTests
{
    private const string Account = """ { "user": "bench", "password": "correct-horse", "publish": [ "acquire/bench/#" ] } """;
    private const string Tls = """ "tls": { "certificateFile": "broker.pem", "keyFile": "broker.key" } """;
    private const string Timed = """ { "filter": "a", "payload": "json", "fields": [ { "path": "t", "channel": "time", "unit": "s" }, { "path": "c", "channel": "temperature", "unit": "degC" } ] } """;

    public static TheoryData<string, string, string> Mistakes => new()
    {
        { Broker("\"address\": \"0.0.0.0\""), "mqtt.address", "without \"tls\" and \"accounts\": anyone on the network could send readings" },
        { Broker($"\"address\": \"0.0.0.0\", {Tls}"), "mqtt.address", "without \"accounts\"" },
        { Broker($"\"address\": \"::\", \"accounts\": [{Account}]"), "mqtt.address", "without \"tls\"" },
        { Broker("\"address\": \"localhost\""), "mqtt.address", "127.0.0.1 or ::1" },
        { Broker("\"tls\": { \"certificateFile\": \"a\" }"), "mqtt.tls.keyFile", "is missing" },
        { Broker("\"accounts\": []"), "mqtt.accounts", "a list of 1 to 1000" },
        { Broker("\"accounts\": [ { \"user\": \"a\", \"password\": \"short\", \"publish\": [\"a\"] } ]"), "mqtt.accounts[0].password", "not repeated here, it has 5 characters" },
        { Broker("\"accounts\": [ { \"user\": \"a\", \"password\": \"long enough\" } ]"), "mqtt.accounts[0].publish", "neither publish nor subscribe" },
        { Broker("\"accounts\": [ { \"user\": \"a\", \"password\": \"long enough\", \"publish\": [\"a/#/b\"] } ]"), "mqtt.accounts[0].publish[0]", "# is not the last level" },
        { Broker("\"accounts\": [ { \"user\": \"a\", \"password\": \"long enough\", \"publsh\": [\"a\"] } ]"), "mqtt.accounts[0].publsh", "did you mean \"publish\"?" },
        { Broker($"\"accounts\": [{Account}, {Account}]"), "mqtt.accounts[1].user", "another account has it" },
        { Elsewhere("mqtt", "\"tls\": { \"caFile\": \"ca.pem\" }"), "mqtt.tls", "without TLS; allowed: mqtts://" },
        { Elsewhere("mqtts", "\"tls\": { \"pinnedSha256\": \"12\" }"), "mqtt.tls.pinnedSha256", "64 hexadecimal digits" },
        { Elsewhere("mqtts", $"\"tls\": {{ \"caFile\": \"ca.pem\", \"pinnedSha256\": \"{new string('a', 64)}\" }}"), "mqtt.tls.pinnedSha256", "one of them" },
        { Elsewhere("mqtts", "\"tls\": { \"certificateFile\": \"a.pem\" }"), "mqtt.tls.keyFile", "is missing" },
        { Elsewhere("mqtt", "\"keepAliveSeconds\": 0"), "mqtt.keepAliveSeconds", "from 1 to 300" },
        { Elsewhere("mqtt", "\"answerSeconds\": 61"), "mqtt.answerSeconds", "from 1 to 60" },
        { Elsewhere("mqtt", "\"statusTopic\": \"a/+\""), "mqtt.statusTopic", "without wildcards" },
        { ConfigSamples.Mqtt("{ \"filter\": \"a/{tster}\", \"payload\": \"number\", \"channel\": \"temperature\", \"unit\": \"degC\" }"), "testers[0].source.topics[0].filter", "{tester} for the tester's id" },
        { ConfigSamples.Mqtt(Timed.Replace("\"a\"", "\"a/{channel}\"", StringComparison.Ordinal)), "testers[0].source.topics[0].filter", "these messages carry several" },
        { ConfigSamples.Mqtt("{ \"filter\": \"a\", \"payload\": \"csv\", \"columns\": [] }"), "testers[0].source.topics[0].columns", "a list of 1 to 64" },
        { ConfigSamples.Mqtt("{ \"filter\": \"a\", \"payload\": \"csv\", \"decimalSeparator\": \",\", \"columns\": [] }"), "testers[0].source.topics[0].decimalSeparator", "another separator" },
        { ConfigSamples.Mqtt("{ \"filter\": \"a\", \"payload\": \"csv\", \"columns\": [ { \"channel\": \"time\", \"unit\": \"s\" }, { \"channel\": \"sequence\" } ] }"), "testers[0].source.topics[0].columns", "given only a time" },
        { Ordered("\"by\": \"tme\""), "testers[0].source.order.by", "did you mean \"time\"?" },
        { Ordered("\"by\": \"time\", \"lateSeconds\": 61"), "testers[0].source.order.lateSeconds", "from 0 to 60 s" },
        { Ordered("\"by\": \"sequence\""), "testers[0].source.order.by", "topics without a channel \"sequence\"" },
        { Ordered("\"by\": \"time\"", Timed.Replace("\"a\"", "\"a/+\"", StringComparison.Ordinal)), "testers[0].source.order", "has a wildcard" },
        { Ordered("\"by\": \"time\"", "{ \"filter\": \"a\", \"payload\": \"number\", \"channel\": \"temperature\", \"unit\": \"degC\" }"), "testers[0].source.order", "messages carry no time" },
        { ConfigSamples.Serial(columns: "\"columns\": [ { \"channel\": \"temperature\", \"unit\": \"degC\" }, { \"channel\": \"sequence\" } ]"), "testers[0].source.columns[1].channel", "one of \"time\"" },
    };

    [Theory]
    [MemberData(nameof(Mistakes))]
    public void Mistake_is_reported_with_its_place_and_what_is_allowed(string json, string path, string words)
    {
        Assert.False(ConfigFile.TryParse(json, out _, out var errors));

        Assert.True(errors.Any(error => error.Path == path && error.Message.Contains(words, StringComparison.Ordinal)), string.Join("\n", errors));
        Assert.All(errors, error => Assert.DoesNotContain("horse", error.ToString(), StringComparison.Ordinal));
    }

    [Fact]
    public void Broker_with_certificate_and_accounts_may_listen_on_the_network()
    {
        var config = Read(Broker($"\"address\": \"0.0.0.0\", \"port\": 8883, {Tls}, \"accounts\": [{Account}]"));

        var broker = Assert.IsType<MqttConfig.Embedded>(config.Mqtt);
        Assert.Equal((IPAddress.Any, 8883, new CertificateFiles("broker.pem", "broker.key")), (broker.Address, broker.Port, broker.Tls));
        Assert.Equal(("bench", "correct-horse"), (broker.Accounts![0].User, broker.Accounts[0].Password));
        Assert.DoesNotContain("horse", broker.Accounts[0].ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Names_in_braces_become_the_tester_and_the_channel()
    {
        var config = Read(ConfigSamples.Mqtt("""
            { "filter": "lab/{tester}/{channel}", "payload": "number", "channel": "temperature", "unit": "degC" },
            { "filter": "lab/{tester}/{channel}", "payload": "number", "channel": "second-detector" },
            { "filter": "lab/{tester}/{channel}", "payload": "number", "channel": "detector" }
            """));

        Assert.Equal(["lab/bench-1/temperature", "lab/bench-1/second-detector", "lab/bench-1/detector"], Assert.IsType<SourceConfig.Mqtt>(config.Testers[0].Source).Topics.Select(topic => topic.Filter));
    }

    [Fact]
    public void Times_of_a_connection_have_the_documented_defaults()
    {
        var broker = Assert.IsType<MqttConfig.External>(Read(Elsewhere("mqtts", "\"statusTopic\": \"acquire/status\"")).Mqtt).Connection;

        Assert.Equal((5, 5, "acquire/status", null), (broker.KeepAliveSeconds, broker.AnswerSeconds, broker.StatusTopic, broker.Certificates));
    }

    [Theory]
    [InlineData("\"mode\": \"external\", \"connection\": \"mqtts://h\", \"tls\": { \"caFile\": \"none.pem\" }", "mqtt.tls.caFile", "there is no file")]
    [InlineData("\"mode\": \"external\", \"connection\": \"mqtts://h\", \"tls\": { \"caFile\": \"acquire.json\" }", "mqtt.tls.caFile", "holds no certificate")]
    [InlineData("\"tls\": { \"certificateFile\": \"acquire.json\", \"keyFile\": \"acquire.json\" }", "mqtt.tls.certificateFile", "are not a certificate and its key")]
    public void Certificate_that_cannot_be_read_stops_the_start(string mqtt, string key, string words)
    {
        var path = Path.Combine(TestFolders.Make("acquire-config-"), "acquire.json");
        File.WriteAllText(path, $$"""{ "mqtt": { {{mqtt}} } }""");

        Assert.False(ConfigFile.TryRead(path, out _, out var errors));

        Assert.Equal($"{path}: {key}", Assert.Single(errors).Path);
        Assert.Contains(words, errors[0].Message, StringComparison.Ordinal);
    }

    private static string Broker(string keys) => $$"""{ "mqtt": { {{keys}} } }""";

    private static string Elsewhere(string scheme, string keys) => $$"""{ "mqtt": { "mode": "external", "connection": "{{scheme}}://broker.example", {{keys}} } }""";

    private static string Ordered(string order, string topics = Timed) => ConfigSamples.Tester($$""" "kind": "mqtt", "topics": [ {{topics}} ], "order": { {{order}} } """);

    private static AcquireConfig Read(string json)
    {
        Assert.True(ConfigFile.TryParse(json, out var config, out var errors), string.Join("\n", errors));
        return config;
    }
}
