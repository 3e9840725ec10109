using System.Net;
using System.Net.Http.Json;
using Acquire.EndToEnd.Tests.Rig;
using Acquire.Service.Live;
using Xunit;

namespace Acquire.EndToEnd.Tests;

/// <summary>The service on a disk that takes no more: its files may not grow beyond a size that the system sets, which needs no rights.</summary>
public sealed class FullDiskTests
{
    private const string Bench = "bench-1";

    [Fact(Timeout = 180_000)]
    public async Task A_start_that_cannot_be_recorded_is_refused_with_words_and_nothing_that_was_there_is_lost()
    {
        if (OperatingSystem.IsWindows())
        {
            Assert.Skip("Windows has no limit of a file's size that a process can be given");
        }

        using var folder = new TestFolder();
        var config = folder.Write("acquire.json", ConfigText.Embedded(Installed.FreePort(), ConfigText.Mqtt(Bench)));
        var acknowledged = new List<string>();
        await using (var service = await RunningService.ServeAsync(folder, await File.ReadAllTextAsync(config, TestContext.Current.CancellationToken)))
        {
            await service.Api.ConnectedAsync(Bench);
            var run = await service.Api.StartAsync(Bench, Specimens.Of(205, 31));
            acknowledged.Add((await service.Api.StopAsync(run.Id)).Id);
            Assert.Equal(0, await service.TerminateAsync());
        }

        await using var full = await RunningService.OnFullDiskAsync(config, kibibytes: 40);
        await full.Api.ConnectedAsync(Bench);
        var refused = await UntilRefusedAsync(full, acknowledged);

        Assert.Equal(HttpStatusCode.ServiceUnavailable, refused.Status);
        Assert.Contains("archive cannot be written", refused.Text, StringComparison.OrdinalIgnoreCase);
        Assert.Equal(acknowledged.Order(), (await full.Api.RunsAsync(Bench)).Select(run => run.Id).Order());
        Assert.Contains((await full.Api.TesterAsync(Bench)).Alarms, alarm => alarm.Code == "archive-failed");
        await full.KillAsync();
        var verified = await AcquireProgram.RunAsync("archive", "verify", "--data", folder["data"]);
        Assert.True(verified.Code == 0, verified.Output + verified.Error);
    }

    // The log takes a record or two until it reaches the limit.
    private static async Task<(HttpStatusCode Status, string Text)> UntilRefusedAsync(RunningService service, List<string> acknowledged)
    {
        for (var runs = 0; runs < 20; runs++)
        {
            var (status, text) = await StartAsync(service);
            if (status != HttpStatusCode.Created)
            {
                return (status, text);
            }

            var run = (await service.Api.RunsAsync(Bench))[0].Id;
            acknowledged.Add(run);
            using var http = new HttpClient { BaseAddress = service.Address };
            using var stopped = await http.PostAsJsonAsync($"api/runs/{run}/stop", new { }, LiveJson.Options, TestContext.Current.CancellationToken);
            if (stopped.StatusCode != HttpStatusCode.OK)
            {
                return (stopped.StatusCode, await stopped.Content.ReadAsStringAsync(TestContext.Current.CancellationToken));
            }
        }

        return default;
    }

    private static async Task<(HttpStatusCode Status, string Text)> StartAsync(RunningService service)
    {
        using var http = new HttpClient { BaseAddress = service.Address };
        using var answer = await http.PostAsJsonAsync($"api/testers/{Bench}/runs", new StartRunRequest("iso-2592-2017", 205, 101.3, "Invented oil"), LiveJson.Options, TestContext.Current.CancellationToken);
        return (answer.StatusCode, await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken));
    }
}
