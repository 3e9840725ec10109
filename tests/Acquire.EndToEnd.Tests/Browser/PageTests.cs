using System.Globalization;
using Acquire.Core.Readings;
using Acquire.EndToEnd.Tests.Rig;
using Acquire.Simulator;
using Microsoft.Playwright;
using Xunit;

namespace Acquire.EndToEnd.Tests.Browser;

/// <summary>The page in a real browser before the real service, on a run at sixty times the speed.</summary>
public sealed class PageTests
{
    private const string Bench = "bench-1";

    [Fact(Timeout = 900_000)]
    public async Task A_whole_run_is_started_watched_and_closed_on_the_page_and_a_late_reader_sees_the_same()
    {
        using var folder = new TestFolder();
        var port = Installed.FreePort();
        await using var chromium = await Chromium.StartAsync();
        await using var service = await RunningService.ServeAsync(folder, ConfigText.Embedded(port, ConfigText.Mqtt(Bench)));
        await service.Api.ConnectedAsync(Bench);
        var said = new SimulatedRun(Specimens.Of(203, 61) with { StationPressureKilopascals = 98.4 });
        var page = await chromium.OpenAsync(service.Address, $"#/tester/{Bench}");
        var runId = await StartOnPageAsync(page, service.Api, said.Options);

        var speaking = SpeakAsync(port, said);
        Truth.AssertNear(said.Truth.Flash!.TemperatureCelsius, await page.CelsiusAsync("flash-point", Waiting.RunSeconds), "flash point on the page");
        Assert.Equal(0, await page.Part("verdict").CountAsync());
        Assert.True(await page.ApplicationsAsync() >= said.Truth.Flash.ApplicationNumber - 1, "the applications so far are not in the table");
        Truth.AssertNear(said.Truth.Fire!.TemperatureCelsius, await page.CelsiusAsync("fire-point", Waiting.RunSeconds), "fire point on the page");
        var late = await chromium.OpenAsync(service.Address, $"#/run/{runId}");
        await speaking;
        await service.Api.ArchivedAsync(runId, said.LongCount());
        await page.Part("stop-run").ClickAsync();
        await page.Part("stop-confirm").ClickAsync();

        await AssertClosedAsync(page, service.Api, runId, said);
        await AssertClosedAsync(late, service.Api, runId, said);
        var phases = await page.PhasesAsync();
        Assert.Equal(["Fast heating", "Controlled heating", "Heating to fire point", "Cooling", "Closed"], phases.Where(phase => phase is not ("No run" or "Loading" or "Waiting for the first reading" or "Ready" or "Applying test flame")).Distinct());
        page.AssertQuiet();
        late.AssertQuiet();
    }

    [Fact(Timeout = 900_000)]
    public async Task A_page_whose_connection_was_cut_in_mid_run_says_so_and_then_misses_nothing()
    {
        using var folder = new TestFolder();
        var port = Installed.FreePort();
        await using var chromium = await Chromium.StartAsync();
        await using var service = await RunningService.ServeAsync(folder, ConfigText.Embedded(port, ConfigText.Mqtt(Bench)));
        await using var wire = new CuttableWire(service.Address);
        await service.Api.ConnectedAsync(Bench);
        var said = new SimulatedRun(Specimens.Of(177, 62));
        var run = await service.Api.StartAsync(Bench, said.Options);
        var page = await chromium.OpenAsync(wire.Address, $"#/run/{run.Id}");
        var banner = page.Part("connection-banner");

        var speaking = SpeakAsync(port, said);
        await Waiting.ForAsync(() => page.CountAsync("point-count"), points => points > 500, "the curve grows on the page", Waiting.RunSeconds);
        Assert.False(await banner.IsVisibleAsync());
        wire.Cut();
        await banner.WaitForAsync();
        var held = await page.CountAsync("point-count");
        await Waiting.ForAsync(() => service.Api.CurveAsync(run.Id), curve => curve.Time.Count > held + 500, "the run goes on behind the cut", Waiting.RunSeconds);
        Assert.Equal(held, await page.CountAsync("point-count"));
        wire.Mend();
        await banner.WaitForAsync(new() { State = WaitForSelectorState.Hidden });
        await speaking;
        await service.Api.FinishedAsync(run.Id, said.LongCount());

        await AssertClosedAsync(page, service.Api, run.Id, said);

        // A browser itself notes each connection that fails; nothing else may be there.
        Assert.DoesNotContain(page.Complaints, complaint => complaint.StartsWith("uncaught", StringComparison.Ordinal) || complaint.Contains("policy", StringComparison.OrdinalIgnoreCase));
    }

    [Fact(Timeout = 900_000)]
    public async Task A_page_that_saw_its_service_killed_follows_the_run_on_once_it_is_back_without_hole_or_duplicate()
    {
        using var folder = new TestFolder();
        var port = Installed.FreePort();
        var config = ConfigText.Embedded(port, ConfigText.Mqtt(Bench));
        await using var chromium = await Chromium.StartAsync();
        await using var service = await RunningService.ServeAsync(folder, config);
        await using var wire = new CuttableWire(service.Address);
        await service.Api.ConnectedAsync(Bench);
        var whole = new SimulatedRun(Specimens.Of(184, 63));
        var said = whole.TakeWhile(row => row.AtSeconds < 400).ToArray();
        var run = await service.Api.StartAsync(Bench, Specimens.Of(184, 63));
        var page = await chromium.OpenAsync(wire.Address, $"#/run/{run.Id}");

        await SpeakAsync(port, said);
        await Waiting.ForAsync(() => page.CountAsync("point-count"), points => points > 1000, "the curve grows on the page");
        await service.KillAsync();
        wire.Cut();
        await page.Part("connection-banner").WaitForAsync();
        await using var again = await RunningService.ServeAsync(folder, config);
        wire.MendTo(again.Address);

        await page.Part("connection-banner").WaitForAsync(new() { State = WaitForSelectorState.Hidden });
        var kept = await again.Api.CurveAsync(run.Id);
        Assert.True(kept.Time.Count > 1000, "the archive kept less than was shown");
        await again.Api.ConnectedAsync(Bench);
        await SpeakAsync(port, [.. whole.SkipWhile(row => row.AtSeconds < 430).TakeWhile(row => row.AtSeconds < 500)]);
        await Waiting.ForAsync(() => again.Api.CurveAsync(run.Id), seen => seen.Time[^1] > 499, "the run goes on");
        await again.Api.StopAsync(run.Id);
        var (curve, detail) = (await again.Api.CurveAsync(run.Id), await again.Api.RunAsync(run.Id));
        await Waiting.ForAsync(() => page.CountAsync("point-count"), points => points == curve.Time.Count, $"the {curve.Time.Count} points of the run are on the page");
        await Waiting.ForAsync(() => page.CountAsync("event-count"), events => events == detail.Events.Count, $"all {detail.Events.Count} events are on the page");
        Assert.Contains("took the run up again", await page.Find("li[data-kind='run-resumed']").TextContentAsync(), StringComparison.Ordinal);
    }

    private static async Task<string> StartOnPageAsync(WatchedPage page, ServiceApi api, SimulatorOptions specimen)
    {
        static string Text(double number) => number.ToString(CultureInfo.InvariantCulture);
        await page.Find("#field-methodId").SelectOptionAsync(specimen.Method.Id);
        await page.Find("#field-expectedFlashCelsius").FillAsync("hot");
        await page.Find("#field-stationPressure").FillAsync(Text(specimen.StationPressureKilopascals * 10));
        await page.Find("#field-stationPressure-unit").SelectOptionAsync("hPa");
        await page.Find("#field-specimen").FillAsync("Invented <b>oil</b> 61");
        await page.Part("start-run").ClickAsync();
        await page.Find("#field-expectedFlashCelsius-error").WaitForAsync();
        Assert.Empty(await api.RunsAsync(Bench));

        await page.Find("#field-expectedFlashCelsius").FillAsync(Text(specimen.Expected));
        await page.Part("start-run").ClickAsync();
        var runs = await Waiting.ForAsync(() => api.RunsAsync(Bench), seen => seen.Length == 1, "the run that was started on the page");
        Assert.Equal("Invented <b>oil</b> 61", runs[0].Specimen);
        Assert.Equal(specimen.StationPressureKilopascals, (await api.RunAsync(runs[0].Id)).Plan.StationPressureKilopascals);
        await page.Find($"[data-run-id='{runs[0].Id}']").WaitForAsync();
        return runs[0].Id;
    }

    /// <summary>The closed run as the interface has it: verdict, reported points, marks on the curve, every point and every event.</summary>
    private static async Task AssertClosedAsync(WatchedPage page, ServiceApi api, string runId, SimulatedRun said)
    {
        await page.Part("verdict").WaitForAsync();
        var run = await api.RunAsync(runId);
        var curve = await api.CurveAsync(runId);
        Truth.AssertMet(said.Truth, run.Summary.Result);
        await Waiting.ForAsync(() => page.CountAsync("point-count"), points => points == curve.Time.Count, $"all {curve.Time.Count} points are on the page");
        await Waiting.ForAsync(() => page.CountAsync("event-count"), events => events == run.Events.Count, $"all {run.Events.Count} events are on the page");
        Assert.Contains(run.Summary.Result!.Verdict.ToString(), await page.Part("verdict").InnerTextAsync(), StringComparison.Ordinal);
        Assert.Equal(run.Summary.Result.Flash!.ReportedCelsius, await page.CelsiusAsync("flash-point", Waiting.PromptSeconds));
        Assert.Equal(run.Summary.Result.Fire!.ReportedCelsius, await page.CelsiusAsync("fire-point", Waiting.PromptSeconds));
        Assert.Equal(run.Summary.Result.Applications.Count, await page.ApplicationsAsync());
        foreach (var (point, handle) in new[] { (run.Statement!.Flash, "flash-point-statement"), (run.Statement.Fire!, "fire-point-statement") })
        {
            await Waiting.ForAsync(() => page.Part(handle).InnerTextAsync(), text => text == point.Statement, $"'{handle}' shows what the service states");
        }

        foreach (var mark in new[] { "--trace", "--flame", "--flash", "--fire" })
        {
            await Waiting.ForAsync(() => page.InkAsync(mark), ink => ink > 0, $"the chart shows {mark}");
        }
    }

    private static Task SpeakAsync(int port, IEnumerable<ReadingRow> said) => Task.Run(() =>
        new MqttSpeaker(new MqttSpeakerOptions { Tester = Bench, Port = port }, TimeProvider.System, Assert.Fail).SpeakAsync(said, Specimens.Speed, TestContext.Current.CancellationToken));
}
