using System.Net.Http.Json;
using Acquire.Service.Archive;
using Acquire.Service.CommandLine;
using Acquire.Service.Configuration;
using Acquire.Service.Hosting.Reloading;
using Acquire.Service.Lanes;
using Acquire.Service.Live;
using Acquire.Service.Tests.Lanes;
using Acquire.Service.Tests.Sources;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Xunit;

namespace Acquire.Service.Tests.Hosting.Reloading;

/// <summary>The whole service as `acquire serve` runs it, following a file that the test writes.</summary>
internal sealed class ReloadBench : IAsyncDisposable
{
    private readonly CancellationTokenSource _stop = new();
    private readonly string _path = Path.Combine(TestFolders.Make("acquire-reload-"), "acquire.json");
    private readonly StringWriter _output = new();
    private readonly StringWriter _error = new();
    private IServiceProvider? _services;
    private Task<int> _running = Task.FromResult(0);

    private static CancellationToken Cancelled => TestContext.Current.CancellationToken;

    public ConfigurationOverview State => _services!.GetRequiredService<ConfigurationState>().Overview;

    public LaneSet Lanes => _services!.GetRequiredService<LaneSet>();

    public RunArchive Archive => _services!.GetRequiredService<RunArchive>();

    public static async Task<ReloadBench> StartAsync(string json, CancellationToken cancelled)
    {
        var bench = new ReloadBench();
        await File.WriteAllTextAsync(bench._path, Whole(json), cancelled);
        Assert.True(ConfigFile.TryRead(bench._path, out var config, out var errors), string.Join("\n", errors));
        bench._running = Task.Run(() => ServiceRun.RunAsync(config, bench.Capture, bench._output, bench._error, bench._stop.Token, bench._path));
        await bench.UntilAsync(() => bench._services is not null && bench._output.ToString().Contains("Open ", StringComparison.Ordinal), "the start");
        return bench;
    }

    /// <summary>Puts another file in its place, as an editor does.</summary>
    public void Write(string json)
    {
        File.WriteAllText(_path + ".new", Whole(json));
        File.Move(_path + ".new", _path, overwrite: true);
    }

    /// <summary>Puts another file in its place and waits until it is taken.</summary>
    public async Task TakeAsync(string json)
    {
        var before = State.Taken;
        Write(json);
        await UntilAsync(() => State.Taken > before && State.Mistakes.Count == 0, "the file to be taken");
    }

    public Task UntilAsync(Func<bool> holds, string what) =>
        SourceSamples.Until(() => _running.IsCompleted ? throw new InvalidOperationException($"the service ended: {_error}") : holds(), what, Cancelled, () => _services is null ? "" : $"{State} {string.Join("; ", State.Mistakes)} {string.Join("; ", State.Waiting)}");

    public async Task<RunSummary> StartRunAsync(string tester)
    {
        using var client = Client();
        using var answer = await client.PostAsJsonAsync($"/api/testers/{tester}/runs", TestTester.Request, LiveJson.Options, Cancelled);
        Assert.Equal(System.Net.HttpStatusCode.Created, answer.StatusCode);
        return (await answer.Content.ReadFromJsonAsync<RunSummary>(LiveJson.Options, Cancelled))!;
    }

    public async Task<T> GetAsync<T>(string path)
    {
        using var client = Client();
        return (await client.GetFromJsonAsync<T>(path, LiveJson.Options, Cancelled))!;
    }

    public async Task<string> TextAsync(string path)
    {
        using var client = Client();
        return await client.GetStringAsync(path, Cancelled);
    }

    public async Task<string> RefusedAsync(string path)
    {
        using var client = Client();
        using var answer = await client.GetAsync(path, Cancelled);
        Assert.Equal(System.Net.HttpStatusCode.NotFound, answer.StatusCode);
        return await answer.Content.ReadAsStringAsync(Cancelled);
    }

    public async Task StopRunAsync(string id)
    {
        using var client = Client();
        using var answer = await client.PostAsJsonAsync($"/api/runs/{id}/stop", new { }, Cancelled);
        Assert.True(answer.IsSuccessStatusCode);
    }

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        Assert.Equal(0, await _running);
        _stop.Dispose();
    }

    private static string Whole(string json) => json.StartsWith('{') ? json.Insert(1, """ "listen": "http://127.0.0.1:0", """) : json;

    public HttpClient Client()
    {
        var line = _output.ToString().Split('\n').First(line => line.Contains("Open ", StringComparison.Ordinal));
        return new() { BaseAddress = new(line[(line.IndexOf("Open ", StringComparison.Ordinal) + 5)..].Trim()) };
    }

    private void Capture(IServiceCollection services) => services.AddHostedService(provider =>
    {
        _services = provider;
        return new Nothing();
    });

    private sealed class Nothing : IHostedService
    {
        public Task StartAsync(CancellationToken cancellationToken) => Task.CompletedTask;

        public Task StopAsync(CancellationToken cancellationToken) => Task.CompletedTask;
    }
}
