using System.Diagnostics;
using System.Net;
using System.Text.Json;
using Acquire.Service.Archive.Influx;
using Acquire.Service.Archive.Influx.Feeding;
using Acquire.Service.Lanes.Watching;
using Acquire.Service.Tests.Hosting.Reloading;
using Acquire.Service.Tests.Sources;
using Acquire.Service.Tests.Sources.Mqtt;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.Logging;
using Xunit;

namespace Acquire.Service.Tests.Archive.Influx;

/// <summary>The outbox as part of the service: configured, changed under way, shown, killed.</summary>
public sealed class OutboxServiceTests(ITestOutputHelper output)
{
    private const int Kills = 6;
    private const string Ambient = """ "testers": [ { "id": "a", "source": { "kind": "mqtt", "topics": [ { "filter": "a", "payload": "number", "channel": "temperature", "unit": "degC" } ] } } ] """;

    private static CancellationToken Cancelled => TestContext.Current.CancellationToken;

    [Fact(Timeout = 120000)]
    public async Task A_run_of_the_service_arrives_and_the_endpoint_may_be_given_changed_and_taken_away_under_way()
    {
        await using var stub = await StubServer.StartAsync(TestContext.Current.CancellationToken);
        await using var other = await StubServer.StartAsync(Cancelled);
        var port = Mosquitto.FreePort();
        await using var bench = await ReloadBench.StartAsync(File(port), Cancelled);
        Assert.Null((await bench.GetAsync<InfluxStatus>("/api/influx")).Endpoint);
        var run = await bench.StartRunAsync("a");
        using var publisher = await Publisher.ConnectAsync(port, Cancelled);
        await publisher.SendAsync("a", "101.5", Cancelled);

        await bench.TakeAsync(File(port, stub.Url, "oils"));
        await bench.UntilAsync(() => stub.Points.Values.Any(point => point.Measurement == "reading" && point.Tag("run") == run.Id && point.Fields["temperature_celsius"] == "101.5"), "the reading to arrive");
        Assert.Null(stub.Requests.First().Authorization);
        Assert.Equal($"{stub.Url} (org 'lab', bucket 'oils')", (await bench.GetAsync<InfluxStatus>("/api/influx")).Endpoint!.Target);
        await bench.StopRunAsync(run.Id);
        await bench.UntilAsync(() => stub.Points.Values.Any(point => point.Measurement == "result"), "the result to arrive");

        other.Always = StubServer.Say(401, """{"message":"unauthorized access"}""");
        await bench.TakeAsync(File(port, other.Url, "oils"));
        await bench.UntilAsync(() => !other.Requests.IsEmpty, "the other to be asked");
        using var health = JsonDocument.Parse(await UntilAsync(bench, "/healthz", "\"state\":\"refused\""));
        Assert.Equal("degraded", health.RootElement.GetProperty("status").GetString());
        Assert.Contains(ServiceAlarmCodes.InfluxRefused, await bench.TextAsync("/api/influx"), StringComparison.Ordinal);
        await bench.TakeAsync(File(port));

        Assert.Null((await bench.GetAsync<InfluxStatus>("/api/influx")).Endpoint);
        Assert.Empty(bench.State.Waiting);
    }

    [Fact(Timeout = 300000)]
    public async Task A_service_that_is_killed_while_it_sends_sends_again_and_no_point_differs()
    {
        await using var stub = await StubServer.StartAsync(TestContext.Current.CancellationToken);
        stub.Always = async (context, lines) =>
        {
            await SourceSamples.Pause(0.03, context.RequestAborted);
            await stub.Take(context, lines);
            await SourceSamples.Pause(0.03, context.RequestAborted);
        };
        using var bench = new OutboxBench(stub.Url);
        await using (var archive = bench.Open())
        {
            for (var run = 0; run < 6; run++)
            {
                await OutboxBench.WriteRunAsync(archive, $"r-{run}", ArchiveBench.PlausibleRun(2500), start: ArchiveBench.Start.AddHours(run));
            }
        }

        var config = Path.Combine(bench.Archive.Folder, "acquire.json");
        var seed = Environment.TickCount;
        var random = new Random(seed);
        output.WriteLine($"seed {seed}");
        for (var kill = 0; kill < Kills; kill++)
        {
            await System.IO.File.WriteAllTextAsync(config, $$"""{ "listen": "http://127.0.0.1:{{Mosquitto.FreePort()}}", "dataDirectory": ".", "testers": [], "influx": { "url": "{{stub.Url}}", "org": "lab", "bucket": "oils", "batchLines": 200 } }""", Cancelled);
            await RunAndKillAsync(config, stub, TimeSpan.FromMilliseconds(random.Next(10, 700)));
        }

        var before = stub.Points.Count;
        using var outbox = bench.Start();
        await OutboxBench.DrainAsync(outbox);

        output.WriteLine($"{before} points after {Kills} kills, {stub.Points.Count} in the end, {stub.Repeats} were sent again");
        Assert.True(before > 0);
        Assert.Equal(6 * (2500 + ArchiveBench.EveryFact.Count + 1), stub.Points.Count);
        Assert.Equal(0, stub.Changes);
    }

    [Fact(Timeout = 120000)]
    public async Task A_certificate_that_nobody_vouches_for_is_refused_and_taken_once_its_authority_is_named()
    {
        using var authority = new TestAuthority();
        var folder = TestFolders.Make("acquire-influx-tls-");
        authority.Write(folder, "server");
        var root = authority.WriteRoot(folder);
        await using var server = await TlsServerAsync(folder, TestContext.Current.CancellationToken);
        using var bench = new OutboxBench(new(server.Urls.Single() + "/"));
        await using var archive = bench.Open();
        await OutboxBench.WriteRunAsync(archive, "r-1", ArchiveBench.PlausibleRun(10));
        using (var outbox = bench.Start())
        {
            await outbox.TurnAsync(Cancelled);
        }

        Assert.Equal(InfluxState.Refused, bench.Board.Overview().State);
        Assert.Contains("is not trusted: no authority that this computer trusts vouches for it; give influx.caFile", bench.Board.Overview().Text, StringComparison.Ordinal);
        bench.Influx = bench.Influx with { CaFile = root };
        using var trusting = bench.Start();
        await OutboxBench.DrainAsync(trusting);

        Assert.Equal(InfluxState.Current, bench.Board.Overview().State);
    }

    [Fact(Timeout = 120000)]
    public async Task A_corrected_result_is_a_point_more_and_an_interrupted_run_has_none()
    {
        await using var stub = await StubServer.StartAsync(TestContext.Current.CancellationToken);
        using var bench = new OutboxBench(stub.Url);
        await using (var first = bench.Open())
        {
            await OutboxBench.WriteRunAsync(first, "closed", ArchiveBench.PlausibleRun(10));
            await OutboxBench.WriteRunAsync(first, "cut", ArchiveBench.PlausibleRun(10), close: false);
        }

        await using var archive = bench.Open();
        using var outbox = bench.Start();
        await OutboxBench.DrainAsync(outbox);
        Assert.Equal("closed", Assert.Single(stub.Points.Values, point => point.Measurement == "result").Tag("run"));

        await archive.CorrectAsync("closed", new(1, ArchiveBench.Start.AddDays(1), "Ada", Service.Archive.Corrections.CorrectedField.Specimen, "turbine oil of closed", "gear oil", "Label misread."), null, Cancelled);
        await OutboxBench.DrainAsync(outbox);

        var results = stub.Points.Values.Where(point => point.Measurement == "result").OrderBy(point => point.Nanoseconds).ToArray();
        Assert.Equal(["\"turbine oil of closed\"", "\"gear oil\""], results.Select(point => point.Fields["specimen"]));
        Assert.Equal(0, stub.Repeats);
        Assert.Equal(new OutboxLookCounts(0, 0), Counts(bench));
    }

    private static OutboxLookCounts Counts(OutboxBench bench)
    {
        using var store = bench.Store();
        var look = new OutboxRuns(new(bench.Path), store, TimeProvider.System, onlyLooks: true).Look();
        return new(look.Runs, look.Rows);
    }

    private static string File(int port, Uri? url = null, string? bucket = null) =>
        $$"""{ "mqtt": { "port": {{port}} }, {{(url is null ? "" : $$""" "influx": { "url": "{{url}}", "org": "lab", "bucket": "{{bucket}}" }, """)}} {{Ambient}} }""";

    private static async Task<string> UntilAsync(ReloadBench bench, string path, string words)
    {
        for (; ; )
        {
            using var client = bench.Client();
            using var answer = await client.GetAsync(new Uri(path, UriKind.Relative), Cancelled);
            var text = await answer.Content.ReadAsStringAsync(Cancelled);
            if (text.Contains(words, StringComparison.Ordinal))
            {
                Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
                return text;
            }

            await SourceSamples.Pause(0.05, Cancelled);
        }
    }

    private static async Task RunAndKillAsync(string config, StubServer stub, TimeSpan life)
    {
        var requests = stub.Requests.Count;
        using var process = Process.Start(new ProcessStartInfo("dotnet", ["exec", Path.Combine(AppContext.BaseDirectory, "acquire.dll"), "serve", "--config", config]) { RedirectStandardOutput = true, RedirectStandardError = true })!;
        try
        {
            process.OutputDataReceived += (_, _) => { };
            process.ErrorDataReceived += (_, _) => { };
            process.BeginOutputReadLine();
            process.BeginErrorReadLine();
            while (stub.Requests.Count == requests && !process.HasExited)
            {
                await SourceSamples.Pause(0.01, Cancelled);
            }

            Assert.False(process.HasExited);
            await Task.Delay(life, TimeProvider.System, Cancelled);
        }
        finally
        {
            process.Kill();
            await process.WaitForExitAsync(Cancelled);
        }
    }

    private static async Task<WebApplication> TlsServerAsync(string folder, CancellationToken cancellationToken)
    {
        Assert.True(Service.Sources.Mqtt.CertificateStore.TryReadOwn(new(Path.Combine(folder, "server.pem"), Path.Combine(folder, "server.key")), out var own, out var mistake), mistake);
        var builder = WebApplication.CreateEmptyBuilder(new());
        builder.WebHost.UseKestrelCore().UseKestrelHttpsConfiguration().ConfigureKestrel(kestrel => kestrel.Listen(IPAddress.Loopback, 0, listen => listen.UseHttps(own[0])));
        builder.Logging.ClearProviders();
        var app = builder.Build();
        app.Run(context =>
        {
            context.Response.StatusCode = StatusCodes.Status204NoContent;
            return Task.CompletedTask;
        });
        await app.StartAsync(cancellationToken);
        return app;
    }

    private sealed record OutboxLookCounts(long Runs, long Rows);
}
