using System.Collections.Concurrent;
using System.Globalization;
using Acquire.EndToEnd.Tests.Rig;
using Microsoft.Playwright;
using Xunit;

namespace Acquire.EndToEnd.Tests.Browser;

/// <summary>The page in a browser, with everything the browser complained about.</summary>
internal sealed class WatchedPage
{
    // Notes what the phase reads as soon as it changes: some phases last for a blink at this speed.
    private const string Notes = """
        window.phasesSeen = [];
        document.addEventListener('securitypolicyviolation', (event) => console.error(`policy: ${event.violatedDirective} forbids ${event.blockedURI}`));
        new MutationObserver(() => {
          const phase = document.querySelector('[data-run-id] [data-testid="phase"]')?.innerText.trim();
          if (phase && window.phasesSeen.at(-1) !== phase) window.phasesSeen.push(phase);
        }).observe(document, { subtree: true, childList: true, characterData: true });
        """;

    private readonly IPage _page;
    private readonly ConcurrentQueue<string> _complaints = new();

    private WatchedPage(IPage page)
    {
        _page = page;
        page.Console += (_, message) =>
        {
            if (message.Type is "error" or "warning")
            {
                _complaints.Enqueue($"{message.Type}: {message.Text}");
            }
        };
        page.PageError += (_, error) => _complaints.Enqueue($"uncaught: {error}");
        page.SetDefaultTimeout((float)TimeSpan.FromSeconds(Waiting.PromptSeconds).TotalMilliseconds);
    }

    /// <summary>Errors and warnings of the console, uncaught exceptions, violations of the content security policy.</summary>
    public IReadOnlyCollection<string> Complaints => _complaints;

    /// <summary>Opens an address.</summary>
    public static async Task<WatchedPage> OpenAsync(IPage page, Uri address)
    {
        var watched = new WatchedPage(page);
        await page.AddInitScriptAsync(Notes);
        await page.GotoAsync(address.ToString());
        return watched;
    }

    /// <summary>Goes to another route of the page.</summary>
    public Task GoAsync(string route) => _page.EvaluateAsync("route => { location.hash = route; }", route);

    /// <summary>Presses a key of the keyboard.</summary>
    public Task PressAsync(string key) => _page.Keyboard.PressAsync(key);

    /// <summary>Part of the page by its test handle.</summary>
    public ILocator Part(string handle) => _page.GetByTestId(handle);

    /// <summary>Part of the page by a selector.</summary>
    public ILocator Find(string selector) => _page.Locator(selector);

    /// <summary>The phases of the run that the page has shown, in order.</summary>
    public Task<string[]> PhasesAsync() => _page.EvaluateAsync<string[]>("() => window.phasesSeen");

    /// <summary>Passes of the test flame in the table.</summary>
    public Task<int> ApplicationsAsync() => _page.Locator("[aria-label='Applications'] tbody tr").CountAsync();

    /// <summary>Waits until a part shows a temperature, and returns it, °C. -1 while the page is still loading.</summary>
    public async Task<double> CelsiusAsync(string handle, double limitSeconds)
    {
        var figure = Part(handle).Locator(".figure");
        var text = await Waiting.ForAsync(
            async () => await figure.CountAsync() == 1 ? await figure.InnerTextAsync() : "",
            seen => double.TryParse(seen, NumberStyles.Float, CultureInfo.InvariantCulture, out _), $"'{handle}' shows a temperature", limitSeconds);
        return double.Parse(text, NumberStyles.Float, CultureInfo.InvariantCulture);
    }

    /// <summary>The number in "1,234 points"; -1 while the run is still loading.</summary>
    public async Task<int> CountAsync(string handle) =>
        int.TryParse((await Part(handle).InnerTextAsync()).Split(' ', '\u00a0')[0], NumberStyles.Integer | NumberStyles.AllowThousands, CultureInfo.InvariantCulture, out var count) ? count : -1;

    /// <summary>Points of the chart that have a colour of the style sheet, such as `--flash`.</summary>
    public Task<int> InkAsync(string colour) => _page.EvaluateAsync<int>(
        """
        (name) => {
          const probe = document.createElement('canvas').getContext('2d', { willReadFrequently: true });
          probe.fillStyle = getComputedStyle(document.documentElement).getPropertyValue(name).trim();
          probe.fillRect(0, 0, 1, 1);
          const [r, g, b] = probe.getImageData(0, 0, 1, 1).data;
          let count = 0;
          for (const canvas of document.querySelectorAll('[data-run-id] canvas')) {
            if (canvas.width === 0 || canvas.height === 0) continue;
            const copy = Object.assign(document.createElement('canvas'), { width: canvas.width, height: canvas.height }).getContext('2d', { willReadFrequently: true });
            copy.drawImage(canvas, 0, 0);
            const { data } = copy.getImageData(0, 0, canvas.width, canvas.height);
            for (let i = 0; i < data.length; i += 4) if (data[i] === r && data[i + 1] === g && data[i + 2] === b && data[i + 3] === 255) count++;
          }
          return count;
        }
        """,
        colour);

    /// <summary>Takes a picture where pictures are wanted.</summary>
    public async Task PictureAsync(string name)
    {
        if (Environment.GetEnvironmentVariable("ACQUIRE_SCREENSHOTS") is { Length: > 0 } folder)
        {
            Directory.CreateDirectory(folder);
            await _page.ScreenshotAsync(new() { Path = Path.Combine(folder, name + ".png") });
        }
    }

    /// <summary>The browser had nothing to complain about.</summary>
    public void AssertQuiet() => Assert.Empty(_complaints);
}
