using System.Net;
using System.Net.Http.Json;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Service.Live;
using Acquire.Simulator;
using Xunit;

namespace Acquire.EndToEnd.Tests.Rig;

/// <summary>The service's JSON interface.</summary>
internal sealed class ServiceApi(Uri address) : IDisposable
{
    private readonly HttpClient _http = new() { BaseAddress = address, Timeout = TimeSpan.FromSeconds(60) };

    /// <summary>One tester at a glance.</summary>
    public async Task<TesterOverview> TesterAsync(string id) => (await TestersAsync()).Single(tester => tester.Id == id);

    /// <summary>All testers.</summary>
    public Task<TesterOverview[]> TestersAsync() => GetAsync<TesterOverview[]>("api/testers");

    /// <summary>One run in full.</summary>
    public Task<RunDetail> RunAsync(string id) => GetAsync<RunDetail>($"api/runs/{id}");

    /// <summary>All runs of a tester, newest first.</summary>
    public Task<RunSummary[]> RunsAsync(string tester) => GetAsync<RunSummary[]>($"api/runs?tester={tester}");

    /// <summary>The whole curve of a run.</summary>
    public Task<CurveStretch> CurveAsync(string id) => GetAsync<CurveStretch>($"api/runs/{id}/curve");

    /// <summary>The record of a run as a trace.</summary>
    public Task<string> CsvAsync(string id) => _http.GetStringAsync($"api/runs/{id}/readings.csv", TestContext.Current.CancellationToken);

    /// <summary>The record of a run as rows.</summary>
    public async Task<IReadOnlyList<ReadingRow>> RowsAsync(string id)
    {
        var trace = TraceReader.Read(id, (await CsvAsync(id)).Split("\r\n", StringSplitOptions.RemoveEmptyEntries));
        Assert.Empty(trace.Errors);
        return trace.Rows;
    }

    /// <summary>What a person entered in a guided run, from its file.</summary>
    public async Task<IReadOnlyList<PersonEntry>> ObservationsAsync(string id)
    {
        var read = PersonEntryReader.Read(id, (await _http.GetStringAsync($"api/runs/{id}/observations.csv", TestContext.Current.CancellationToken)).Split("\r\n"));
        Assert.Empty(read.Errors);
        return read.Entries;
    }

    /// <summary>Starts a run of a simulated specimen, as a person would.</summary>
    public async Task<RunSummary> StartAsync(string tester, SimulatorOptions specimen)
    {
        var aim = specimen.Aim;
        var request = new StartRunRequest(specimen.Method.Id, aim.ExpectedFlashCelsius, specimen.StationPressureKilopascals, $"Invented oil {specimen.Seed}") { Scouting = aim.Scouting, SpecificationCelsius = aim.SpecificationCelsius };
        using var answer = await _http.PostAsJsonAsync($"api/testers/{tester}/runs", request, LiveJson.Options, TestContext.Current.CancellationToken);
        return await ReadAsync<RunSummary>(answer, HttpStatusCode.Created);
    }

    /// <summary>Closes a run now.</summary>
    public async Task<RunSummary> StopAsync(string id)
    {
        using var answer = await _http.PostAsJsonAsync($"api/runs/{id}/stop", new { }, LiveJson.Options, TestContext.Current.CancellationToken);
        return await ReadAsync<RunSummary>(answer, HttpStatusCode.OK);
    }

    /// <summary>Turns the heater of a driven tester on in the name of a person; answers with the status and what was said.</summary>
    public Task<(HttpStatusCode Status, string Text)> HeaterOnAsync(string id, string person = "Test Person") => HeaterAsync(id, new { on = true, person });

    /// <summary>Says that a fresh test portion is in the cup.</summary>
    public async Task<HttpStatusCode> ChargeAsync(string id, double millilitres)
    {
        using var answer = await _http.PostAsJsonAsync($"api/runs/{id}/portions", new { millilitres, person = "Test Person" }, LiveJson.Options, TestContext.Current.CancellationToken);
        return answer.StatusCode;
    }

    /// <summary>Turns the heater off.</summary>
    public Task<(HttpStatusCode Status, string Text)> HeaterOffAsync(string id) => HeaterAsync(id, new { on = false });

    private async Task<(HttpStatusCode Status, string Text)> HeaterAsync(string id, object body)
    {
        using var answer = await _http.PostAsJsonAsync($"api/runs/{id}/heater", body, LiveJson.Options, TestContext.Current.CancellationToken);
        return (answer.StatusCode, await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken));
    }

    /// <inheritdoc/>
    public void Dispose() => _http.Dispose();

    private async Task<T> GetAsync<T>(string path)
    {
        using var answer = await _http.GetAsync(path, TestContext.Current.CancellationToken);
        return await ReadAsync<T>(answer, HttpStatusCode.OK);
    }

    private static async Task<T> ReadAsync<T>(HttpResponseMessage answer, HttpStatusCode expected)
    {
        var cancel = TestContext.Current.CancellationToken;
        Assert.True(answer.StatusCode == expected, $"{answer.RequestMessage?.RequestUri} answered {answer.StatusCode}: {await answer.Content.ReadAsStringAsync(cancel)}");
        return (await answer.Content.ReadFromJsonAsync<T>(LiveJson.Options, cancel))!;
    }
}
