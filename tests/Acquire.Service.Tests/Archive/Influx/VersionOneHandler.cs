using System.Web;

namespace Acquire.Service.Tests.Archive.Influx;

/// <summary>Turns a request to write by version 2 of the interface into one of version 1, for a server that knows no other.</summary>
internal sealed class VersionOneHandler(HttpMessageHandler inner) : DelegatingHandler(inner)
{
    /// <summary>Called before each request to write.</summary>
    public Action? Before { get; init; }

    /// <summary>Called after each answer, before it is handed on.</summary>
    public Action? After { get; init; }

    protected override async Task<HttpResponseMessage> SendAsync(HttpRequestMessage request, CancellationToken cancellationToken)
    {
        var address = request.RequestUri!;
        if (!address.AbsolutePath.EndsWith("/api/v2/write", StringComparison.Ordinal))
        {
            return await base.SendAsync(request, cancellationToken);
        }

        var asked = HttpUtility.ParseQueryString(address.Query);
        request.RequestUri = new Uri(address, $"/write?db={asked["bucket"]}&precision={(asked["precision"] == "ns" ? "n" : asked["precision"])}");
        Before?.Invoke();
        var answer = await base.SendAsync(request, cancellationToken);
        After?.Invoke();
        return answer;
    }
}
