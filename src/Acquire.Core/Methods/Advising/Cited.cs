namespace Acquire.Core.Methods.Advising;

/// <summary>Where a note comes from.</summary>
internal static class Cited
{
    /// <summary>For rules that every bench knows and no text was found for.</summary>
    public const string CommonPractice = "common practice, no source";

    /// <summary>The method's own citation for the first of the figures that it gives one for; else the method file itself.</summary>
    public static string Of(MethodDefinition method, params ReadOnlySpan<string> figures)
    {
        foreach (var figure in figures)
        {
            if (method.Sources.FirstOrDefault(source => source.Figure == figure) is { } source)
            {
                return source.Citation + (source.FromMemory ? " (value from memory)" : "");
            }
        }

        return $"{method.Id}: {figures[^1]}";
    }
}
