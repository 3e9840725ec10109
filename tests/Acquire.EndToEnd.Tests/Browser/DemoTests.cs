using Acquire.EndToEnd.Tests.Rig;
using Xunit;

namespace Acquire.EndToEnd.Tests.Browser;

/// <summary>`acquire demo` as somebody sees it who has just installed the program. Also takes the pictures, where ACQUIRE_SCREENSHOTS names a folder.</summary>
public sealed class DemoTests
{
    private const string Bench = "bench-1";

    [Fact(Timeout = 900_000)]
    public async Task The_demonstration_shows_its_testers_at_work_and_a_first_result()
    {
        using var folder = new TestFolder();
        await using var chromium = await Chromium.StartAsync();
        await using var service = await RunningService.DemoAsync(folder, "60");
        var wanted = Environment.GetEnvironmentVariable("ACQUIRE_SCREENSHOTS") is { Length: > 0 } ? Screen.All : [Screen.Desktop];
        var pages = new List<(Screen Screen, WatchedPage Page)>();
        foreach (var screen in wanted)
        {
            pages.Add((screen, await chromium.OpenAsync(service.Address, "#/", screen)));
        }

        await AssertAtWorkAsync(pages[0].Page, (await service.Api.TestersAsync()).Length);
        var begun = await Waiting.ForAsync(() => service.Api.TesterAsync(Bench), tester => tester.Status?.Applications >= 6, "six applications on the first tester", Waiting.RunSeconds);
        await EachAsync(pages, "overview", null, "tester-card");
        await EachAsync(pages, "run", $"#/tester/{Bench}", "point-count");
        var runId = begun.Run!.Id;
        await Waiting.ForAsync(() => service.Api.RunAsync(runId), run => run.Summary.ClosedAt is not null, "the first run closes by itself", Waiting.RunSeconds);
        await EachAsync(pages, "result", $"#/run/{runId}", "verdict");

        var closed = await service.Api.RunAsync(runId);
        Assert.NotNull(closed.Summary.Result?.Flash);
        Assert.Equal(closed.Summary.Result.Flash.ReportedCelsius, await pages[0].Page.CelsiusAsync("flash-point", Waiting.PromptSeconds));
        Assert.All(pages, shown => shown.Page.AssertQuiet());
        await Waiting.ForAsync(() => service.Api.RunsAsync(Bench), runs => runs.Length > 1, "the next round begins");
        Assert.Equal(0, await service.TerminateAsync());
    }

    // A driven tester waits for a person to start its run; all others begin theirs by themselves, the one that is worked by hand too.
    private static async Task AssertAtWorkAsync(WatchedPage page, int testers)
    {
        await Waiting.ForAsync(() => page.Part("tester-card").CountAsync(), cards => cards == testers, "all testers on the overview");
        await Waiting.ForAsync(() => page.Find("[data-testid='tester-card'][data-condition='live']").CountAsync(), live => live == testers, "all testers live");
        Assert.Equal(1, await page.Find("[data-testid='tester-card'][data-mode='guided']").CountAsync());
        await Waiting.ForAsync(
            async () => string.Join('|', await page.Find("[data-testid='tester-card']:not([data-mode='driven'])").GetByTestId("phase").AllInnerTextsAsync()),
            phases => phases.Split('|').All(phase => phase is not ("" or "No run" or "Waiting for the first reading")), "their runs at work");
    }

    private static async Task EachAsync(IReadOnlyList<(Screen Screen, WatchedPage Page)> pages, string name, string? route, string shows)
    {
        foreach (var (screen, page) in pages)
        {
            if (route is not null)
            {
                await page.GoAsync(route);
            }

            await page.Part(shows).First.WaitForAsync();
            if (route is not null)
            {
                // Long enough that the heating and its band are on the chart.
                await Waiting.ForAsync(() => page.CountAsync("point-count"), points => points > 1000, "the curve is on the page");
                await Waiting.ForAsync(() => page.InkAsync("--trace"), ink => ink > 0, "the curve is drawn");
            }

            await page.PictureAsync($"{name}-{screen.Name}");
        }
    }
}
