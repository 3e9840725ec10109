using System.Text.Json;
using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.EndToEnd.Tests.Rig;
using Xunit;

namespace Acquire.EndToEnd.Tests.Browser;

/// <summary>A person at the page works a cup that has a thermometer and nothing else.</summary>
public sealed class GuidedPageTests
{
    private const string Bench = "bench-7";
    private const double FlashFromCelsius = 214, FireFromCelsius = 216;

    // ISO 2592 (value from memory): fast heating at 14 to 17 °C/min up to 56 °C below the expected 220 °C, then 5 to 6 °C/min over the last 23 °C.
    private static readonly ReadingRow[] Heated = [.. Ramp()];

    [Fact(Timeout = 600_000)]
    public async Task A_run_is_worked_by_the_keys_and_judged_again_from_its_record_to_the_same_result()
    {
        using var folder = new TestFolder();
        var port = Installed.FreePort();
        await using var chromium = await Chromium.StartAsync();
        await using var service = await RunningService.ServeAsync(folder, ConfigText.Embedded(port, ConfigText.Guided(Bench)));
        await service.Api.ConnectedAsync(Bench);
        using var tester = await Publisher.ConnectAsync(port);
        var run = await service.Api.StartAsync(Bench, Specimens.Of(220, 71) with { StationPressureKilopascals = 99.1 });
        var page = await chromium.OpenAsync(service.Address, $"#/run/{run.Id}");

        var sent = await WorkAsync(page, service.Api, tester, run.Id);

        await service.Api.ArchivedAsync(run.Id, sent);
        var closed = await service.Api.StopAsync(run.Id);
        Assert.True(closed.Result!.Verdict == Verdict.Valid, string.Join("; ", closed.Result.Findings.Select(finding => finding.Text)));
        Assert.InRange(closed.Result.Flash!.ObservedCelsius, FlashFromCelsius - 0.6, FlashFromCelsius + 2.6);
        Assert.InRange(closed.Result.Fire!.ObservedCelsius, FireFromCelsius - 0.6, FireFromCelsius + 2.6);
        await page.Part("verdict").WaitForAsync();
        Assert.False(await page.Find(".guide").IsVisibleAsync());
        page.AssertQuiet();

        // The two files are the record: judged again, they give the same facts and the same result.
        var detail = await service.Api.RunAsync(run.Id);
        var (rows, entries) = (await service.Api.RowsAsync(run.Id), await service.Api.ObservationsAsync(run.Id));
        Assert.Equal(detail.Events.OfType<PersonEntry>(), entries);
        var facts = new List<RunOutput>();
        var again = RunReplay.Run(detail.Plan, rows, entries, facts);
        Assert.Equal(JsonSerializer.Serialize(detail.Summary.Result), JsonSerializer.Serialize(again));
        Assert.Equal(JsonSerializer.Serialize(detail.Events.Where(fact => fact is not RecordFact)), JsonSerializer.Serialize(facts));
        Assert.Equal(("A. Berg", Sighting.Flash), (Assert.Single(entries.OfType<ObservationWithdrawn>()).Person, entries.OfType<ObservationWithdrawn>().Single().Seen));
    }

    // Heats from one due application to the next and does what the page asks; returns the rows that were sent.
    private static async Task<int> WorkAsync(WatchedPage page, ServiceApi api, Publisher tester, string runId)
    {
        var (sent, due, slipped) = (0, 197.0, false);
        while (true)
        {
            sent = await HeatAsync(tester, sent, row => row.TemperatureCelsius >= due - 0.2);
            await page.Find("[data-guide='apply']").WaitForAsync();
            var (key, word) = due >= FireFromCelsius ? ("4", "burning") : due >= FlashFromCelsius ? ("3", "flash") : due > 210 ? ("2", "halo") : ("1", "nothing");
            await page.PictureAsync($"guided-{key}");
            if (sent > 0 && !slipped)
            {
                slipped = true;
                await SlipAsync(page);
            }

            await page.PressAsync(key);
            await RecordedAsync(page, word);
            if (word == "burning")
            {
                break;
            }

            var status = await Waiting.ForAsync(async () => (await api.TesterAsync(Bench)).Status!, seen => seen.PromptNumber is null && seen.NextApplicationCelsius > due + 1, "the next application is known");
            due = status.NextApplicationCelsius!.Value;
        }

        await page.Find("[data-guide='burning']").WaitForAsync();
        await page.PictureAsync("guided-burning");
        var burning = Heated[sent].AtSeconds;
        sent = await HeatAsync(tester, sent, row => row.AtSeconds > burning + 12);
        await Waiting.ForAsync(() => api.RunAsync(runId), seen => seen.Events.OfType<FireDetected>().Any(), "the fire point is stated");
        await page.Find("[data-seen='went-out']").ClickAsync();
        await RecordedAsync(page, "went out");
        return sent;
    }

    // A wrong key: the flash stands on the page, is taken back, and the prompt stands again.
    private static async Task SlipAsync(WatchedPage page)
    {
        await page.Part("guide-person").FillAsync("A. Berg");
        await page.Find(".run-about").ClickAsync();
        await page.PressAsync("3");
        await RecordedAsync(page, "flash");
        await page.Part("take-back").WaitForAsync();
        await page.PictureAsync("guided-slip");
        await page.PressAsync("Backspace");
        await Waiting.ForAsync(() => page.Part("guide-note").InnerTextAsync(), text => text == "Taken back: flash", "'flash' is taken back");
        await Waiting.ForAsync(() => page.Find(".guide").InnerTextAsync(), text => text.Contains("Apply the test flame now", StringComparison.Ordinal), "the prompt stands again");
        Assert.Equal("none yet", await page.Part("flash-point").InnerTextAsync());
    }

    private static Task<string> RecordedAsync(WatchedPage page, string word) =>
        Waiting.ForAsync(() => page.Part("guide-note").InnerTextAsync(), text => text == $"Recorded: {word}", $"'{word}' is recorded");

    private static async Task<int> HeatAsync(Publisher tester, int from, Func<ReadingRow, bool> until)
    {
        var to = Array.FindIndex(Heated, from, row => until(row)) + 1;
        foreach (var some in Heated[from..to].Chunk(500))
        {
            await tester.SendAsync($"acquire/{Bench}/readings", some);
        }

        return to;
    }

    private static IEnumerable<ReadingRow> Ramp()
    {
        var celsius = 150.0;
        for (var index = 0; celsius < 230; index++)
        {
            yield return new(index / 10.0, RowChannels.Temperature, Math.Round(celsius, 2), 0, false);
            celsius += (celsius < 170 ? 15 : 5.5) / 600;
        }
    }
}
