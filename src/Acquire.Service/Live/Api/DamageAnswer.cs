using Acquire.Service.Archive;

namespace Acquire.Service.Live.Api;

/// <summary>Answers for a record that cannot be read, whichever call wanted it: 503 with the words, at the field `id`.</summary>
internal sealed class DamageAnswer(RequestDelegate next)
{
    public async Task InvokeAsync(HttpContext context)
    {
        try
        {
            await next(context).ConfigureAwait(false);
        }
        catch (ArchiveCorruptException damage) when (!context.Response.HasStarted)
        {
            // An answer that has begun is cut off instead, so that nobody takes a part of it for the whole.
            context.Response.Headers.ContentDisposition = default;
            context.Response.ContentLength = null;
            await ApiAnswers.Refused(StatusCodes.Status503ServiceUnavailable, "id", damage.Message).ExecuteAsync(context).ConfigureAwait(false);
        }
    }
}
