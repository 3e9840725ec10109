using Acquire.Service.Live;
using Xunit;

namespace Acquire.Service.Tests.Sources.Mqtt;

/// <summary>TLS and accounts at a broker of another make.</summary>
public sealed class MosquittoTlsTests : IAsyncLifetime
{
    private const string Tls = "certfile FOLDER/broker.pem\nkeyfile FOLDER/broker.key\n";
    private const string Credentials = "bench:correct-horse@";
    private readonly TestAuthority _authority = new();
    private readonly List<IDisposable> _brokers = [];
    private readonly string _folder = TestFolders.Make("acquire-tls-");
    private string _pin = "";

    public ValueTask InitializeAsync()
    {
        Mosquitto.SkipWithout("mosquitto");
        Mosquitto.SkipWithout("mosquitto_passwd");
        return ValueTask.CompletedTask;
    }

    public ValueTask DisposeAsync()
    {
        _brokers.ForEach(broker => broker.Dispose());
        _authority.Dispose();
        return ValueTask.CompletedTask;
    }

    [Fact(Timeout = 60000)]
    public async Task Private_authority_and_an_account_let_readings_through()
    {
        var token = TestContext.Current.CancellationToken;
        var broker = await StartAsync(token);
        await using var bench = new ExternalBench(broker.Port, CaFile(), Credentials, "mqtts");
        await bench.StartAsync(token);

        using var publisher = await Publisher.ConnectAsync(broker.Port, "bench", "correct-horse", token, Path.Combine(_folder, "ca.pem"));
        await publisher.SendAsync(ExternalBench.Topic, ExternalBench.Row(7), token);
        await SourceSamples.Until(() => bench.Inbox.Counters.Rows == 1, "the row", token);

        Assert.Equal(7, Assert.Single(SourceSamples.Drain(bench.Inbox)).AtSeconds);
    }

    [Fact(Timeout = 60000)]
    public async Task Pinned_certificate_is_taken_whatever_its_name_and_authority_are()
    {
        var token = TestContext.Current.CancellationToken;
        var broker = await StartAsync(token, host: "elsewhere.example");
        await using var bench = new ExternalBench(broker.Port, $$""", "tls": { "pinnedSha256": "{{_pin}}" } """, Credentials, "mqtts");

        await bench.StartAsync(token);

        Assert.Equal(ConnectionState.Up, bench.Inbox.Connection.State);
    }

    [Fact(Timeout = 60000)]
    public async Task Other_certificate_than_the_pinned_one_is_refused()
    {
        var token = TestContext.Current.CancellationToken;
        var broker = await StartAsync(token);
        await using var bench = new ExternalBench(broker.Port, $$""", "tls": { "pinnedSha256": "{{new string('A', 64)}}" } """, Credentials, "mqtts");
        bench.Start();

        await bench.RefusedAsync($"is not trusted: its SHA-256 is {_pin}, not the one in mqtt.tls.pinnedSha256", token);
    }

    [Fact(Timeout = 60000)]
    public async Task Wrong_authority_is_refused()
    {
        var token = TestContext.Current.CancellationToken;
        var broker = await StartAsync(token);
        using var other = new TestAuthority();
        other.WriteRoot(_folder, "other");
        await using var bench = new ExternalBench(broker.Port, CaFile("other"), Credentials, "mqtts");
        bench.Start();

        await bench.RefusedAsync($"the certificate of mqtts://127.0.0.1:{broker.Port} is not trusted: no authority in mqtt.tls.caFile vouches for it", token);
    }

    [Fact(Timeout = 60000)]
    public async Task Certificate_for_another_name_is_refused()
    {
        var token = TestContext.Current.CancellationToken;
        var broker = await StartAsync(token, host: "elsewhere.example");
        await using var bench = new ExternalBench(broker.Port, CaFile(), Credentials, "mqtts");
        bench.Start();

        await bench.RefusedAsync("is not trusted: it is for another name (CN=broker)", token);
    }

    [Fact(Timeout = 60000)]
    public async Task Expired_certificate_is_refused_and_readings_come_once_it_is_renewed()
    {
        var token = TestContext.Current.CancellationToken;
        var broker = await StartAsync(token, until: -0.01);
        await using var bench = new ExternalBench(broker.Port, CaFile(), Credentials, "mqtts");
        bench.Start();
        await bench.RefusedAsync("is not trusted: it expired at ", token);

        broker.Kill();
        _authority.Write(broker.Folder, "broker");
        await broker.StartAsync(token);
        var renewed = TimeProvider.System.GetTimestamp();
        await SourceSamples.Until(() => bench.IsUp, "the connection", token);

        Assert.True(TimeProvider.System.GetElapsedTime(renewed) < TimeSpan.FromSeconds(2));
    }

    [Fact(Timeout = 60000)]
    public async Task Wrong_password_says_what_to_check_and_the_password_is_never_shown()
    {
        var token = TestContext.Current.CancellationToken;
        var broker = await StartAsync(token);
        await using var bench = new ExternalBench(broker.Port, CaFile(), "bench:wrong-horse@", "mqtts");
        bench.Start();

        await bench.RefusedAsync("refused the user: check user and password in mqtt.connection", token);

        Assert.DoesNotContain("horse", bench.Inbox.Connection.Text, StringComparison.Ordinal);
    }

    [Fact(Timeout = 60000)]
    public async Task Client_certificate_opens_a_broker_that_asks_for_one()
    {
        var token = TestContext.Current.CancellationToken;
        var broker = await StartAsync(token, "require_certificate true\ncafile FOLDER/ca.pem\n");
        _authority.Write(_folder, "service");
        await using var bench = new ExternalBench(broker.Port, $$""", "tls": { "caFile": "{{_folder}}/ca.pem", "certificateFile": "{{_folder}}/service.pem", "keyFile": "{{_folder}}/service.key" } """, Credentials, "mqtts");

        await bench.StartAsync(token);

        Assert.Equal(ConnectionState.Up, bench.Inbox.Connection.State);
    }

    [Fact(Timeout = 60000)]
    public async Task Broker_that_asks_for_a_client_certificate_and_gets_none_says_so()
    {
        var token = TestContext.Current.CancellationToken;
        var broker = await StartAsync(token, "require_certificate true\ncafile FOLDER/ca.pem\n");
        await using var bench = new ExternalBench(broker.Port, CaFile(), Credentials, "mqtts");
        bench.Start();

        await bench.RefusedAsync("ended the TLS connection at once", token);

        Assert.Contains("mqtt.tls.certificateFile", bench.Inbox.Connection.Text, StringComparison.Ordinal);
    }

    [Fact(Timeout = 60000)]
    public async Task Missing_file_of_an_authority_is_named()
    {
        var token = TestContext.Current.CancellationToken;
        var broker = await StartAsync(token);
        await using var bench = new ExternalBench(broker.Port, CaFile("nothing"), Credentials, "mqtts");
        bench.Start();

        await bench.RefusedAsync($"mqtt.tls.caFile: there is no file '{_folder}/nothing.pem'", token);
    }

    private string CaFile(string name = "ca") => $$""", "tls": { "caFile": "{{_folder}}/{{name}}.pem" } """;

    private async Task<Mosquitto> StartAsync(CancellationToken cancellationToken, string more = "", double until = 1, string host = "127.0.0.1")
    {
        var broker = new Mosquitto("allow_anonymous false\npassword_file FOLDER/accounts\n" + Tls + more);
        _brokers.Add(broker);
        _authority.WriteRoot(_folder);
        _authority.WriteRoot(broker.Folder);
        _pin = _authority.Write(broker.Folder, "broker", until: until, from: -2, host: host);
        await broker.AddAccountAsync("bench", "correct-horse", cancellationToken);
        await broker.StartAsync(cancellationToken);
        return broker;
    }
}
