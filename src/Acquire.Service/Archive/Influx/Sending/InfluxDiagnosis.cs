using System.Globalization;
using System.Net.Sockets;
using System.Security.Authentication;
using Acquire.Service.Configuration;

namespace Acquire.Service.Archive.Influx.Sending;

/// <summary>Says what an answer means, or why there was none, and what to do.</summary>
internal static class InfluxDiagnosis
{
    /// <summary>What an answer means.</summary>
    public static WriteAnswer Of(InfluxConfig influx, HeardAnswer heard)
    {
        var (words, status) = (heard.IsPage ? "" : ServerWords.Of(heard.Body), heard.Status);
        var said = string.Create(CultureInfo.InvariantCulture, $"status {status}{(words.Length > 0 ? $": {words}" : "")}");
        return heard switch
        {
            { Status: >= 200 and < 300, IsPage: false } => new(WriteOutcome.Taken, status, "taken", words),
            { IsPage: true, Status: < 500 } => Refused($"a web page answered at {influx.Url} (status {status}), not InfluxDB: check influx.url, and whether a sign-in page of the network is in the way"),
            { Status: >= 300 and < 400 } => Refused($"{influx.Url} says to look elsewhere ({(heard.Location is { } location ? ServerWords.Of(location) : "it does not say where")}): put the right address into influx.url"),
            { Status: 400 or 422 } => new(WriteOutcome.BadLines, status, $"{influx.Url} refuses lines ({said})", words, heard.RetryAfter),
            { Status: 401 } => Refused($"{influx.Url} does not take the token ({said}): check influx.tokenFile or influx.tokenVariable"),
            { Status: 403 } => Refused($"the token may not write to bucket '{influx.Bucket}' of org '{influx.Org}' ({said}): give it that right, or use another"),
            { Status: 404 } => Refused($"{influx.Url} knows no bucket '{influx.Bucket}' of org '{influx.Org}', or is not InfluxDB ({said}): check influx.url, influx.org and influx.bucket"),
            { Status: 413 } => new(WriteOutcome.TooLarge, status, $"{influx.Url} finds the request too large ({said})", words),
            { Status: 429 } => Later($"{influx.Url} asks for patience ({said})"),
            { Status: 408 or 425 or >= 500 } => Later($"{influx.Url} is in trouble ({said})"),
            _ => Refused($"{influx.Url} refuses ({said}): check influx.url"),
        };

        WriteAnswer Refused(string text) => new(WriteOutcome.Refused, status, text, words, heard.RetryAfter);
        WriteAnswer Later(string text) => new(WriteOutcome.Later, status, text, words, heard.RetryAfter);
    }

    /// <summary>Why there was no answer.</summary>
    /// <param name="influx">The endpoint.</param>
    /// <param name="exception">What the way to it says.</param>
    /// <param name="certificate">Why the server's certificate was refused; null where it was not.</param>
    public static WriteAnswer Of(InfluxConfig influx, Exception exception, string? certificate)
    {
        if (certificate is not null)
        {
            return new(WriteOutcome.Refused, 0, $"the certificate of {influx.Url} is not trusted: {certificate}");
        }

        for (var inner = exception; inner is not null; inner = inner.InnerException)
        {
            switch (inner)
            {
                case SocketException { SocketErrorCode: SocketError.ConnectionRefused }:
                    return Later($"nothing listens at {influx.Url}: start the server, or check influx.url");
                case SocketException { SocketErrorCode: SocketError.HostNotFound or SocketError.TryAgain or SocketError.NoData }:
                    return Later($"the host of {influx.Url} is not known: check its name in influx.url, and the network");
                case SocketException { SocketErrorCode: SocketError.HostUnreachable or SocketError.NetworkUnreachable }:
                    return Later($"there is no way to {influx.Url}: check the network");
                case OperationCanceledException or SocketException { SocketErrorCode: SocketError.TimedOut }:
                    return Later(string.Create(CultureInfo.InvariantCulture, $"{influx.Url} did not answer within {influx.TimeoutSeconds} s: check the server and the network, or raise influx.timeoutSeconds"));
                case AuthenticationException:
                    return new(WriteOutcome.Refused, 0, $"{influx.Url} does not speak TLS as this computer does: {inner.Message}. Check whether it is https:// at all");
                default:
                    break;
            }
        }

        return Later($"the connection to {influx.Url} was lost before the answer had come: {exception.Message}");
    }

    private static WriteAnswer Later(string words) => new(WriteOutcome.Later, 0, words);
}
