using Acquire.Core.Runs;
using Acquire.EndToEnd.Tests.Rig;
using Xunit;

namespace Acquire.EndToEnd.Tests.Browser;

/// <summary>A person at the page turns the heater of a driven tester on, by name, and off.</summary>
public sealed class HeatingPageTests
{
    private const string Bench = "bench-8";

    [Fact(Timeout = 300_000)]
    public async Task The_heater_goes_on_by_name_off_by_one_key_and_a_cut_stands_with_its_reason_until_a_person_turns_it_on_again()
    {
        using var folder = new TestFolder();
        var port = Installed.FreePort();
        await using var chromium = await Chromium.StartAsync();
        await using var service = await RunningService.ServeAsync(folder, ConfigText.Embedded(port, ConfigText.DrivenByMessages(Bench)));
        await service.Api.ConnectedAsync(Bench);
        await using var tester = await ObedientTester.StartAsync(Bench, port);
        var run = await service.Api.StartAsync(Bench, Specimens.Of(220, 81));
        var page = await chromium.OpenAsync(service.Address, $"#/tester/{Bench}");
        await StateAsync(page, "off");
        Assert.False(await page.Part("heater-limit").InnerTextAsync() is "");

        await TurnOnAsync(page, "A. Berg");
        await StateAsync(page, "on");
        Assert.Equal("Turned on by A. Berg, who stays at the cup.", await page.Part("heater-by").InnerTextAsync());
        await Waiting.ForAsync(() => page.Part("heater-power").InnerTextAsync(), text => text.Contains("given", StringComparison.Ordinal) && !text.EndsWith(" 0\u00a0% given", StringComparison.Ordinal), "power is given");
        await Waiting.ForAsync(() => page.Part("heater-acknowledged").InnerTextAsync(), text => text.StartsWith("✓ yes", StringComparison.Ordinal), "the tester acknowledges");
        await page.PictureAsync("heater-on");

        // One key, no question; the button does the same.
        await page.PressAsync("0");
        await StateAsync(page, "off");
        await Waiting.ForAsync(() => service.Api.TesterAsync(Bench), seen => seen.Drive is { On: false, AskedFraction: 0, GivenFraction: 0 }, "the tester gives nothing");
        await TurnOnAsync(page, "A. Berg");
        await StateAsync(page, "on");
        await page.Part("heater-off").ClickAsync();
        await StateAsync(page, "off");

        await TurnOnAsync(page, "C. Dahl");
        await StateAsync(page, "on");
        tester.ThermometerSilent = true;
        await StateAsync(page, "tripped");
        var trip = page.Find("[data-testid='heater-trips'] li[data-trouble='true']");
        Assert.Equal("heater-reading-silent", await trip.First.GetAttributeAsync("data-code"));
        Assert.Equal((await service.Api.TesterAsync(Bench)).Drive!.Trips[0].Text, await trip.First.Locator("span").First.InnerTextAsync());
        await page.PictureAsync("heater-tripped");

        tester.ThermometerSilent = false;
        var rows = (await service.Api.TesterAsync(Bench)).Counters.Rows;
        await Waiting.ForAsync(() => service.Api.TesterAsync(Bench), seen => seen.Counters.Rows > rows + 5 && seen.Status is { ThermometerMarks.Count: 0 } && seen.Drive is { On: false }, "the thermometer is back and the heater stays off");
        await TurnOnAsync(page, "C. Dahl");
        await StateAsync(page, "on");
        await service.Api.StopAsync(run.Id);
        await Waiting.ForAsync(() => service.Api.TesterAsync(Bench), seen => seen.Drive is { On: false, AskedFraction: 0 }, "stopping the run turns the heater off");
        await page.Part("heater-off").WaitForAsync(new() { State = Microsoft.Playwright.WaitForSelectorState.Hidden });

        var detail = await service.Api.RunAsync(run.Id);
        Assert.Equal(["A. Berg", "A. Berg", "C. Dahl", "C. Dahl"], detail.Events.OfType<HeaterTurnedOn>().Select(fact => fact.Person));
        Assert.Contains(detail.Events.OfType<HeaterCut>(), cut => cut is { Code: "heater-reading-silent", WasOn: true });
        page.AssertQuiet();
    }

    [Fact(Timeout = 300_000)]
    public async Task On_a_phone_the_off_button_is_in_sight_and_large_enough_for_a_finger_wherever_the_page_is()
    {
        using var folder = new TestFolder();
        var port = Installed.FreePort();
        await using var chromium = await Chromium.StartAsync();
        await using var service = await RunningService.ServeAsync(folder, ConfigText.Embedded(port, ConfigText.DrivenByMessages(Bench)));
        await service.Api.ConnectedAsync(Bench);
        await using var tester = await ObedientTester.StartAsync(Bench, port);
        await service.Api.StartAsync(Bench, Specimens.Of(220, 82));
        foreach (var screen in Screen.All)
        {
            var page = await chromium.OpenAsync(service.Address, $"#/tester/{Bench}", screen);
            await StateAsync(page, "off");
            foreach (var place in new[] { "top", "end" })
            {
                await page.Find("body").EvaluateAsync($"() => window.scrollTo(0, {(place == "top" ? "0" : "document.body.scrollHeight")})");
                var box = (await page.Part("heater-off").BoundingBoxAsync())!;
                Assert.True(box.Height >= 44 && box.Width >= 44, $"{screen.Name}, {place}: {box.Width} x {box.Height}");
                Assert.True(box.Y >= 0 && box.Y + box.Height <= screen.Height && box.X >= 0 && box.X + box.Width <= screen.Width, $"{screen.Name}, {place}: at {box.X}, {box.Y}");
            }

            // WCAG 2.2, target size (enhanced): 44 by 44 CSS pixels.
            var on = (await page.Part("heater-on").BoundingBoxAsync())!;
            Assert.True(on.Height >= 44 && on.Width >= 44, $"{screen.Name}: {on.Width} x {on.Height}");
            await page.PictureAsync($"heater-{screen.Name}");
            page.AssertQuiet();
        }
    }

    private static async Task TurnOnAsync(WatchedPage page, string person)
    {
        await page.Part("heater-on").ClickAsync();
        await page.Find("#field-heater-person").FillAsync(person);
        await page.Part("heater-on-confirm").ClickAsync();
    }

    private static Task<string?> StateAsync(WatchedPage page, string state) =>
        Waiting.ForAsync(() => page.Part("heater-panel").GetAttributeAsync("data-heater"), seen => seen == state, $"the heater is '{state}'");
}
