using System.Net;
using Microsoft.AspNetCore.SignalR.Client;
using Xunit;

namespace Acquire.Service.Tests.Live;

public sealed class BrowserRulesTests
{
    private const string Start = "/api/testers/bench-1/runs";
    private const string Body = """{"methodId":"iso-2592-2017","expectedFlashCelsius":220,"specimen":"oil"}""";

    private static CancellationToken Cancelled => TestContext.Current.CancellationToken;

    [Theory(Timeout = 30000)]
    [InlineData("http://elsewhere.example")]
    [InlineData("http://127.0.0.1:1")]
    [InlineData("null")]
    public async Task Another_sites_page_can_neither_post_nor_listen(string origin)
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);

        using var posted = await bench.PostAsync(Start, Body, origin);
        using var negotiated = await bench.PostAsync("/live/negotiate?negotiateVersion=1", "", origin);
        var socket = new HubConnectionBuilder().WithUrl(new Uri(bench.Client.BaseAddress!, "/live"), options =>
        {
            options.SkipNegotiation = true;
            options.Transports = Microsoft.AspNetCore.Http.Connections.HttpTransportType.WebSockets;
            options.Headers["Origin"] = origin;
        }).Build();

        Assert.Equal((HttpStatusCode.Forbidden, HttpStatusCode.Forbidden), (posted.StatusCode, negotiated.StatusCode));
        await Assert.ThrowsAnyAsync<Exception>(() => socket.StartAsync(Cancelled));
        await socket.DisposeAsync();
    }

    [Fact(Timeout = 30000)]
    public async Task The_services_own_page_can()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);

        using var answer = await bench.PostAsync(Start, Body, bench.Client.BaseAddress!.GetLeftPart(UriPartial.Authority));

        Assert.Equal(HttpStatusCode.Created, answer.StatusCode);
    }

    [Fact(Timeout = 30000)]
    public async Task A_name_that_is_not_ours_is_refused_even_if_it_leads_here()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);

        using var answer = await bench.PostAsync(Start, Body, "http://rebound.example", host: "rebound.example");

        Assert.Equal(HttpStatusCode.MisdirectedRequest, answer.StatusCode);
    }

    [Theory(Timeout = 30000)]
    [InlineData("text/plain")]
    [InlineData("application/x-www-form-urlencoded")]
    public async Task A_post_that_is_not_json_is_refused(string contentType)
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);

        using var answer = await bench.PostAsync(Start, Body, contentType: contentType);

        Assert.Equal(HttpStatusCode.UnsupportedMediaType, answer.StatusCode);
    }

    [Fact(Timeout = 30000)]
    public async Task A_body_beyond_the_limit_is_refused()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);

        using var answer = await bench.PostAsync(Start, new string(' ', 70_000) + Body);

        Assert.Equal(HttpStatusCode.BadRequest, answer.StatusCode);
    }

    [Fact(Timeout = 30000)]
    public async Task Every_answer_tells_the_browser_what_it_may_do()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);

        using var answer = await bench.Client.GetAsync("/", Cancelled);

        var policy = string.Join(" ", answer.Headers.GetValues("Content-Security-Policy"));
        Assert.Contains("default-src 'self'", policy, StringComparison.Ordinal);
        Assert.Contains("frame-ancestors 'none'", policy, StringComparison.Ordinal);
        Assert.Contains($"ws://{bench.Client.BaseAddress!.Authority}", policy, StringComparison.Ordinal);
        Assert.Equal("nosniff", string.Join(" ", answer.Headers.GetValues("X-Content-Type-Options")));
        Assert.Contains("not built", await answer.Content.ReadAsStringAsync(Cancelled), StringComparison.Ordinal);
    }

    [Fact(Timeout = 30000)]
    public async Task The_page_is_served_from_its_folder()
    {
        var folder = TestFolders.Make("acquire-page-");
        await File.WriteAllTextAsync(Path.Combine(folder, "index.html"), "<!doctype html><title>page</title>", Cancelled);
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken, folder);

        using var answer = await bench.Client.GetAsync("/", Cancelled);
        using var outside = await bench.Client.GetAsync("/..%2f..%2fetc/passwd", Cancelled);

        Assert.Equal("text/html", answer.Content.Headers.ContentType!.MediaType);
        Assert.Contains("<title>page</title>", await answer.Content.ReadAsStringAsync(Cancelled), StringComparison.Ordinal);
        Assert.Equal(HttpStatusCode.NotFound, outside.StatusCode);
    }
}
