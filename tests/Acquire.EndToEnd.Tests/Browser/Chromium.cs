using Acquire.EndToEnd.Tests.Rig;
using Microsoft.Playwright;

namespace Acquire.EndToEnd.Tests.Browser;

/// <summary>The machine's own Chromium without a window; nothing is downloaded.</summary>
internal sealed class Chromium : IAsyncDisposable
{
    private readonly IPlaywright _playwright;
    private readonly IBrowser _browser;

    private Chromium(IPlaywright playwright, IBrowser browser) => (_playwright, _browser) = (playwright, browser);

    /// <summary>Starts it; skips the test where it is not installed.</summary>
    public static async Task<Chromium> StartAsync()
    {
        var path = Installed.Program("chromium", "without it the page cannot be watched");
        var playwright = await Playwright.CreateAsync();
        try
        {
            // The sandbox needs rights that containers and root accounts lack; the only page opened is our own.
            return new(playwright, await playwright.Chromium.LaunchAsync(new() { ExecutablePath = path, Args = ["--no-sandbox", "--disable-dev-shm-usage"] }));
        }
        catch
        {
            playwright.Dispose();
            throw;
        }
    }

    /// <summary>Opens a route of the page, such as `#/tester/bench-1`, in a profile of its own.</summary>
    public async Task<WatchedPage> OpenAsync(Uri address, string route, Screen? screen = null)
    {
        var shown = screen ?? Screen.Desktop;
        var context = await _browser.NewContextAsync(new()
        {
            ViewportSize = new() { Width = shown.Width, Height = shown.Height },
            ColorScheme = shown.Dark ? ColorScheme.Dark : ColorScheme.Light,
            DeviceScaleFactor = shown.Scale,
            IsMobile = shown.Scale > 1,
            HasTouch = shown.Scale > 1,
            TimezoneId = "UTC",
            Locale = "en-GB",
        });
        return await WatchedPage.OpenAsync(await context.NewPageAsync(), new Uri(address, "/" + route));
    }

    /// <inheritdoc/>
    public async ValueTask DisposeAsync()
    {
        await _browser.CloseAsync();
        _playwright.Dispose();
    }
}

/// <summary>A screen.</summary>
internal sealed record Screen(string Name, int Width, int Height, float Scale, bool Dark)
{
    /// <summary>A desk, in daylight.</summary>
    public static Screen Desktop { get; } = new("desktop-light", 1440, 900, 1, false);

    /// <summary>Desk and phone, light and dark.</summary>
    public static IReadOnlyList<Screen> All { get; } =
    [
        Desktop,
        Desktop with { Name = "desktop-dark", Dark = true },
        new("phone-light", 390, 844, 2, false),
        new("phone-dark", 390, 844, 2, true),
    ];
}
