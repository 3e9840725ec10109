using Acquire.Core;
using Acquire.Core.Methods;
using Acquire.Core.Methods.Advising;

namespace Acquire.Service.Live.Api;

/// <summary>The call that advises on a method; its parameters are the options of `acquire methods advise` without the hyphens before them.</summary>
internal static class AdviceApi
{
    public static void Map(IEndpointRouteBuilder routes) =>
        routes.MapGet("/api/methods/advice", (HttpRequest request, MethodSet methods) => Advise(request.Query, methods));

    private static IResult Advise(IQueryCollection query, MethodSet methods)
    {
        var twice = query.Where(one => one.Value.Count > 1).Select(one => new InputError(one.Key, "is given more than once")).ToArray();
        var given = query.ToDictionary(one => one.Key, one => one.Value.ToString(), StringComparer.Ordinal);
        if (twice.Length > 0)
        {
            return ApiAnswers.Refused(StatusCodes.Status400BadRequest, twice);
        }

        return AdviceQuestionReader.TryRead(given, "", out var question, out var mistakes)
            ? ApiAnswers.Ok(MethodAdvisor.Advise(methods.All, question))
            : ApiAnswers.Refused(StatusCodes.Status400BadRequest, mistakes);
    }
}
