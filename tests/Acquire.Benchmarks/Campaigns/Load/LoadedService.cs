using System.Net.Http.Json;
using System.Text.RegularExpressions;
using Acquire.EndToEnd.Tests.Rig;
using Acquire.Service.Live;
using Microsoft.AspNetCore.SignalR.Client;
using Microsoft.Extensions.DependencyInjection;

namespace Acquire.Benchmarks.Campaigns.Load;

/// <summary>The built service in a process of its own, with testers that publish JSON.</summary>
internal sealed partial class LoadedService : IAsyncDisposable
{
    private const int StartsAtOnce = 16;

    private readonly ChildProcess _process;
    private readonly HttpClient _http;
    private readonly Uri _address;

    private LoadedService(ChildProcess process, Uri address, string memoryFile)
    {
        (_process, _address, MemoryFile) = (process, address, memoryFile);
        _http = new() { BaseAddress = address, Timeout = TimeSpan.FromSeconds(60) };
    }

    /// <summary>Where it writes what it holds.</summary>
    public string MemoryFile { get; }

    /// <summary>Id of a tester.</summary>
    public static string Id(int tester) => $"bench-{tester}";

    /// <summary>Topic that a tester publishes on.</summary>
    public static string Topic(int tester) => $"acquire/{Id(tester)}/readings";

    /// <summary>Starts it and waits until it answers.</summary>
    public static async Task<LoadedService> StartAsync(TestFolder folder, string config)
    {
        var memory = folder["memory.txt"];
        var process = AcquireProgram.StartIn(
            new Dictionary<string, string> { ["DOTNET_STARTUP_HOOKS"] = Path.Combine(AppContext.BaseDirectory, "Acquire.Benchmarks.dll"), [StartupHook.FileVariable] = memory },
            "serve", "--config", folder.Write("acquire.json", config));
        while (!process.HasEnded && !Address().IsMatch(process.Output))
        {
            await Task.Delay(TimeSpan.FromMilliseconds(100), TimeProvider.System);
        }

        return Address().Match(process.Output) is { Success: true } said
            ? new(process, new Uri(said.Groups[1].Value), memory)
            : throw new InvalidOperationException($"The service ended before it had said its address.\n{process.Output}\n{process.Error}");
    }

    /// <summary>A connection to the live interface, as the page has one.</summary>
    public async Task<HubConnection> ConnectAsync()
    {
        var connection = new HubConnectionBuilder().WithUrl(new Uri(_address, "/live")).AddJsonProtocol(json => LiveJson.Apply(json.PayloadSerializerOptions)).Build();
        await connection.StartAsync();
        return connection;
    }

    /// <summary>All testers at a glance.</summary>
    public async Task<TesterOverview[]> TestersAsync() => (await _http.GetFromJsonAsync<TesterOverview[]>("api/testers", LiveJson.Options))!;

    /// <summary>Starts a run on each tester; their ids, in order.</summary>
    public async Task<string[]> StartRunsAsync(int testers)
    {
        var ids = new string[testers];
        await Parallel.ForAsync(0, testers, new ParallelOptions { MaxDegreeOfParallelism = StartsAtOnce }, async (tester, cancel) =>
        {
            var request = new StartRunRequest(ReadingScript.Method, ReadingScript.ExpectedCelsius, 101.3, $"Invented oil {tester}");
            using var answer = await _http.PostAsJsonAsync($"api/testers/{Id(tester)}/runs", request, LiveJson.Options, cancel);
            ids[tester] = answer.IsSuccessStatusCode
                ? (await answer.Content.ReadFromJsonAsync<RunSummary>(LiveJson.Options, cancel))!.Id
                : throw new InvalidOperationException($"{Id(tester)} starts no run: {await answer.Content.ReadAsStringAsync(cancel)}");
        });
        return ids;
    }

    /// <summary>Closes runs; the rows of all that are archived then.</summary>
    public async Task<long> StopRunsAsync(IReadOnlyList<string> runs)
    {
        var rows = 0L;
        await Parallel.ForEachAsync(runs, new ParallelOptions { MaxDegreeOfParallelism = StartsAtOnce }, async (run, cancel) =>
        {
            using var answer = await _http.PostAsJsonAsync($"api/runs/{run}/stop", new { }, LiveJson.Options, cancel);
            answer.EnsureSuccessStatusCode();
            Interlocked.Add(ref rows, (await answer.Content.ReadFromJsonAsync<RunSummary>(LiveJson.Options, cancel))!.ArchivedRows);
        });
        return rows;
    }

    /// <summary>Asks it to end.</summary>
    public Task<int> EndAsync() => _process.TerminateAsync();

    /// <summary>What it said, for a failure.</summary>
    public string Said => _process.Output + _process.Error;

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        _http.Dispose();
        await _process.DisposeAsync();
    }

    [GeneratedRegex(@"Open (http://\S+)")]
    private static partial Regex Address();
}
