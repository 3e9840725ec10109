using System.Net.Http.Headers;
using System.Text;

namespace Acquire.Service.Archive.Influx.Sending;

/// <summary>Hears each answer before the client does, and lets it have no more of it than is good for it.</summary>
/// <remarks>
/// The client takes a web page with status 200 for success, throws a format error where `Retry-After` is a date, and reads a body of any length.
/// So what an answer means is decided by what is heard here.
/// </remarks>
internal sealed class AnswerEar(TimeProvider time, string? token, HttpMessageHandler inner) : DelegatingHandler(inner)
{
    private const int MostBodyBytes = 16 * 1024;

    /// <summary>The newest answer to a request that only asks for its status; null where none came. Answers with data pass by unheard.</summary>
    public HeardAnswer? Heard { get; private set; }

    /// <summary>Forgets what was heard.</summary>
    public void Forget() => Heard = null;

    /// <inheritdoc/>
    protected override async Task<HttpResponseMessage> SendAsync(HttpRequestMessage request, CancellationToken cancellationToken)
    {
        request.Headers.Authorization = token is null ? null : new AuthenticationHeaderValue("Token", token);
        var answer = await base.SendAsync(request, cancellationToken).ConfigureAwait(false);
        if (answer.IsSuccessStatusCode && request.RequestUri?.AbsolutePath.EndsWith("/query", StringComparison.Ordinal) == true)
        {
            return answer;
        }

        var body = await BeginningAsync(answer, cancellationToken).ConfigureAwait(false);
        Heard = new((int)answer.StatusCode, body, answer.Content.Headers.ContentType?.MediaType == "text/html", answer.Headers.Location?.ToString(), Wait(answer.Headers.RetryAfter));
        answer.Headers.RetryAfter = null;
        var type = answer.Content.Headers.ContentType;
        answer.Content = new StringContent(body, Encoding.UTF8);
        answer.Content.Headers.ContentType = type;
        return answer;
    }

    private TimeSpan? Wait(RetryConditionHeaderValue? asked) => asked switch
    {
        null => null,
        { Delta: { } delta } => delta,
        { Date: { } date } => date - time.GetUtcNow() is var wait && wait > TimeSpan.Zero ? wait : TimeSpan.Zero,
        _ => null,
    };

    private static async Task<string> BeginningAsync(HttpResponseMessage answer, CancellationToken cancellationToken)
    {
        var stream = await answer.Content.ReadAsStreamAsync(cancellationToken).ConfigureAwait(false);
        await using (stream.ConfigureAwait(false))
        {
            var beginning = new byte[MostBodyBytes];
            var length = await stream.ReadAtLeastAsync(beginning, MostBodyBytes, throwOnEndOfStream: false, cancellationToken).ConfigureAwait(false);
            return Encoding.UTF8.GetString(beginning, 0, length);
        }
    }
}
