using System.Net;
using Acquire.Service.Live.Api;

namespace Acquire.Service.Hosting;

/// <summary>What is asked of a request before anything else looks at it, and what every answer tells a browser.</summary>
/// <remarks>
/// A page of another site can make a browser open a WebSocket to this service, or post to it, and the browser says so only in `Origin`;
/// a name under somebody else's control can be pointed at this machine, and then only `Host` tells. Requests without `Origin` do not come from a page.
/// </remarks>
internal sealed class BrowserRules(RequestDelegate next, IReadOnlySet<string> hostNames)
{
    public Task InvokeAsync(HttpContext context)
    {
        var request = context.Request;
        if (!IsOurs(request.Host))
        {
            return RefuseAsync(context, StatusCodes.Status421MisdirectedRequest, "host", "is not a name of this service; use its IP address, or the name that `listen` in the configuration gives");
        }

        Protect(context.Response.Headers, request.Host.Value!);
        var changes = !HttpMethods.IsGet(request.Method) && !HttpMethods.IsHead(request.Method);
        var hub = request.Path.StartsWithSegments("/live", StringComparison.OrdinalIgnoreCase);
        if ((changes || hub) && !SameOrigin(request))
        {
            return RefuseAsync(context, StatusCodes.Status403Forbidden, "origin", "is another site's page; only this service's own page may do this");
        }

        if (changes && !hub && !IsJson(request))
        {
            return RefuseAsync(context, StatusCodes.Status415UnsupportedMediaType, "content-type", "is not application/json");
        }

        return next(context);
    }

    private bool IsOurs(HostString host) =>
        host.HasValue && (IPAddress.TryParse(host.Host.Trim('[', ']'), out _) || hostNames.Contains(host.Host));

    private static bool SameOrigin(HttpRequest request)
    {
        var origins = request.Headers.Origin;
        return origins.Count == 0
            || (origins.Count == 1 && Uri.TryCreate(origins[0], UriKind.Absolute, out var origin) && string.Equals(origin.Authority, request.Host.Value, StringComparison.OrdinalIgnoreCase));
    }

    private static bool IsJson(HttpRequest request) =>
        Microsoft.Net.Http.Headers.MediaTypeHeaderValue.TryParse(request.ContentType, out var type) && type.MediaType.Equals("application/json", StringComparison.OrdinalIgnoreCase);

    private static void Protect(IHeaderDictionary headers, string host)
    {
        headers.ContentSecurityPolicy = $"default-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; connect-src 'self' ws://{host} wss://{host}; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'";
        headers.XContentTypeOptions = "nosniff";
        headers["Referrer-Policy"] = "no-referrer";
        headers.CacheControl = "no-cache";
    }

    private static Task RefuseAsync(HttpContext context, int status, string path, string message) =>
        ApiAnswers.Refused(status, path, message).ExecuteAsync(context);
}
