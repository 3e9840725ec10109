using System.Net.Http.Json;
using System.Text;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Core.Thermometry;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Corrections;
using Acquire.Service.Configuration;
using Acquire.Service.Hosting;
using Acquire.Service.Lanes;
using Acquire.Service.Live;
using Acquire.Service.Tests.Lanes;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.SignalR.Client;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;
using Xunit;

namespace Acquire.Service.Tests.Live;

/// <summary>The real service on a free loopback port, with one tester whose wire is the test.</summary>
internal sealed class AppBench : IAsyncDisposable
{
    private readonly WebApplication _app;
    private readonly RunArchive _archive;
    private readonly List<HubConnection> _connections = [];

    private AppBench(WebApplication app, RunArchive archive)
    {
        (_app, _archive) = (app, archive);
        Client = new() { BaseAddress = new(app.Urls.Single()) };
    }

    public HttpClient Client { get; }

    public RunArchive Archive => _archive;

    public LaneInbox Inbox => _app.Services.GetRequiredService<LaneSet>().Inboxes["bench-1"];

    public Lane Lane => _app.Services.GetRequiredService<LaneSet>().All[0];

    private static CancellationToken Cancelled => TestContext.Current.CancellationToken;

    public static async Task<AppBench> StartAsync(CancellationToken cancelled, string? pageFolder = null, ThermometerChain? thermometer = null, RunMode mode = RunMode.Observed, RunRoles? roles = null)
    {
        var config = mode == RunMode.Driven ? TestTester.Driven() : TestTester.Config() with { Mode = mode };
        return await StartAsync(config with { Thermometer = thermometer ?? ThermometerChain.Plain }, pageFolder, roles ?? RunRoles.None, cancelled);
    }

    private static async Task<AppBench> StartAsync(TesterConfig config, string? pageFolder, RunRoles roles, CancellationToken cancelled)
    {
        var archive = TestTester.OpenArchive();
        var app = AcquireApp.Build(new()
        {
            Testers = [config, TestTester.Config("bench-2")],
            Archive = archive,
            Roles = roles,
            ListenUrl = "http://127.0.0.1:0",
            PageFolder = pageFolder ?? "none",
            LogLevel = LogLevel.Warning,
        });
        await app.StartAsync(cancelled);
        return new(app, archive);
    }

    public async Task SendAsync(IEnumerable<ReadingRow> rows)
    {
        foreach (var row in rows)
        {
            await Inbox.WriteAsync(row, Cancelled);
        }
    }

    public async Task<RunSummary> StartRunAsync()
    {
        using var answer = await Client.PostAsJsonAsync("/api/testers/bench-1/runs", TestTester.Request, LiveJson.Options, Cancelled);
        Assert.Equal(System.Net.HttpStatusCode.Created, answer.StatusCode);
        return (await answer.Content.ReadFromJsonAsync<RunSummary>(LiveJson.Options, Cancelled))!;
    }

    public async Task<HttpResponseMessage> PostAsync(string path, string body, string? origin = null, string contentType = "application/json", string? host = null)
    {
        using var request = new HttpRequestMessage(HttpMethod.Post, path) { Content = new StringContent(body, Encoding.UTF8, contentType) };
        if (origin is not null)
        {
            request.Headers.Add("Origin", origin);
        }

        request.Headers.Host = host;
        return await Client.SendAsync(request, Cancelled);
    }

    public async Task<RunSummary> StopRunAsync(string id)
    {
        using var answer = await PostAsync($"/api/runs/{id}/stop", "");
        Assert.Equal(System.Net.HttpStatusCode.OK, answer.StatusCode);
        return (await answer.Content.ReadFromJsonAsync<RunSummary>(LiveJson.Options, Cancelled))!;
    }

    public async Task<T> GetAsync<T>(string path) => (await Client.GetFromJsonAsync<T>(path, LiveJson.Options, Cancelled))!;

    /// <summary>Waits until so many rows of a run are archived.</summary>
    public async Task UntilRowsAsync(string id, long rows)
    {
        while ((await GetAsync<RunDetail>($"/api/runs/{id}")).Summary.ArchivedRows < rows)
        {
            await Task.Delay(TimeSpan.FromMilliseconds(10), TimeProvider.System, Cancelled);
        }
    }

    public async Task<HubConnection> ConnectAsync()
    {
        var connection = new HubConnectionBuilder()
            .WithUrl(new Uri(Client.BaseAddress!, "/live"))
            .AddJsonProtocol(json => LiveJson.Apply(json.PayloadSerializerOptions))
            .Build();
        _connections.Add(connection);
        await connection.StartAsync(Cancelled);
        return connection;
    }

    public async ValueTask DisposeAsync()
    {
        foreach (var connection in _connections)
        {
            await connection.DisposeAsync();
        }

        Client.Dispose();
        await _app.StopAsync(CancellationToken.None);
        await _app.DisposeAsync();
        await _archive.DisposeAsync();
    }
}
