using System.Collections.Concurrent;
using System.Text;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.Logging;

namespace Acquire.Service.Tests.Archive.Influx;

/// <summary>How the stub answers one request.</summary>
internal delegate Task StubAnswer(HttpContext context, string[] lines);

/// <summary>Plays the write interface of version 2 on a free loopback port: keeps points as InfluxDB does, and answers as it is told.</summary>
internal sealed class StubServer : IAsyncDisposable
{
    private readonly WebApplication _app;
    private readonly ConcurrentQueue<StubAnswer> _next = new();

    private StubServer(WebApplication app) => _app = app;

    /// <summary>Points by series and timestamp. What is written to one again is merged into it.</summary>
    public ConcurrentDictionary<(string Series, long At), StoredPoint> Points { get; } = new();

    /// <summary>Every request to write: its address and how many lines it had.</summary>
    public ConcurrentQueue<(string Address, string? Authorization, int Lines)> Requests { get; } = new();

    /// <summary>Answers to queries in Flux; null: there is no such interface.</summary>
    public Func<string, string>? Flux { get; set; }

    /// <summary>How often a point that was there was written again.</summary>
    public int Repeats;

    /// <summary>How often a point that was there was written with something else in it.</summary>
    public int Changes;

    /// <summary>How it answers once no answer is told any more.</summary>
    public StubAnswer Always { get; set; } = null!;

    /// <summary>Its address.</summary>
    public Uri Url => new(_app.Urls.Single() + "/");

    /// <summary>Starts it.</summary>
    public static async Task<StubServer> StartAsync(CancellationToken cancellationToken, int port = 0)
    {
        var builder = WebApplication.CreateEmptyBuilder(new());
        builder.WebHost.UseKestrelCore().UseUrls($"http://127.0.0.1:{port}");
        builder.Logging.ClearProviders();
        var app = builder.Build();
        var stub = new StubServer(app);
        stub.Always = stub.Take;
        app.Run(stub.AnswerAsync);
        await app.StartAsync(cancellationToken);
        return stub;
    }

    /// <summary>Tells how the next requests are answered, one each.</summary>
    public StubServer Then(params StubAnswer[] answers)
    {
        foreach (var answer in answers)
        {
            _next.Enqueue(answer);
        }

        return this;
    }

    /// <summary>Keeps all lines.</summary>
    public async Task Take(HttpContext context, string[] lines)
    {
        Keep(lines);
        context.Response.StatusCode = StatusCodes.Status204NoContent;
        await Task.CompletedTask;
    }

    /// <summary>Keeps nothing and says a status.</summary>
    public static StubAnswer Say(int status, string body = "", string? retryAfter = null, string type = "application/json") => async (context, _) =>
    {
        context.Response.StatusCode = status;
        context.Response.ContentType = type;
        if (retryAfter is not null)
        {
            context.Response.Headers.RetryAfter = retryAfter;
        }

        await context.Response.WriteAsync(body);
    };

    /// <summary>Refuses every request with a line of this kind in it. Where it is told so, it keeps the others.</summary>
    public StubAnswer RefuseLines(Func<StoredPoint, bool> bad, int status, bool keepsRest, bool counts = false) => async (context, lines) =>
    {
        var wrong = lines.Count(line => StoredPoint.Read(line) is not { } point || bad(point));
        if (wrong == 0)
        {
            await Take(context, lines);
            return;
        }

        if (keepsRest)
        {
            Keep(lines.Where(line => StoredPoint.Read(line) is { } point && !bad(point)));
        }

        await Say(status, $$"""{"code":"invalid","message":"partial write: field type conflict{{(counts ? $" dropped={wrong}" : "")}}"}""")(context, lines);
    };

    public void Keep(IEnumerable<string> lines)
    {
        foreach (var point in lines.Select(line => StoredPoint.Read(line) ?? throw new InvalidOperationException($"not a line: {line}")))
        {
            Points.AddOrUpdate((point.Series, point.Nanoseconds), point, (_, old) =>
            {
                Interlocked.Increment(ref Repeats);
                if (!old.Fields.OrderBy(field => field.Key).SequenceEqual(point.Fields.OrderBy(field => field.Key)))
                {
                    Interlocked.Increment(ref Changes);
                }

                return old with { Fields = old.Fields.Concat(point.Fields).GroupBy(field => field.Key).ToDictionary(field => field.Key, field => field.Last().Value) };
            });
        }
    }

    public async ValueTask DisposeAsync()
    {
        using var now = new CancellationTokenSource();
        await now.CancelAsync();
        await _app.StopAsync(now.Token);
        await _app.DisposeAsync();
    }

    private async Task AnswerAsync(HttpContext context)
    {
        using var reader = new StreamReader(context.Request.Body, Encoding.UTF8);
        var body = await reader.ReadToEndAsync();
        if (context.Request.Path.Value!.EndsWith("/api/v2/query", StringComparison.Ordinal) && Flux is { } flux)
        {
            context.Response.ContentType = "text/csv; charset=utf-8";
            await context.Response.WriteAsync(flux(body));
            return;
        }

        if (!context.Request.Path.Value.EndsWith("/api/v2/write", StringComparison.Ordinal))
        {
            await Say(StatusCodes.Status404NotFound, """{"code":"not found","message":"path not found"}""")(context, []);
            return;
        }

        var lines = body.Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Requests.Enqueue(($"{context.Request.Path}{context.Request.QueryString}", context.Request.Headers.Authorization, lines.Length));
        await (_next.TryDequeue(out var told) ? told : Always)(context, lines);
    }
}
