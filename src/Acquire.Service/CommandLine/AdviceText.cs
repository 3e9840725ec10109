using Acquire.Core.Methods.Advising;
using static System.FormattableString;

namespace Acquire.Service.CommandLine;

/// <summary>Advice in words: the choice first, then what speaks for it, then the rest.</summary>
internal static class AdviceText
{
    private const string CommonPractice = "common practice, no source";

    /// <summary>Writes the advice. `+` speaks for a method, `!` must be looked at before it is taken.</summary>
    /// <param name="advice">The advice.</param>
    /// <param name="sources">Whether the source of each rule that excludes a method is written too.</param>
    /// <param name="writer">Where to.</param>
    public static void Write(MethodAdvice advice, bool sources, TextWriter writer)
    {
        writer.WriteLine($"Asked: {Asked(advice.Question)}");
        if (advice.Scouting is { } scouting)
        {
            writer.WriteLine($"First, since the flash point is unknown: a scouting run by {scouting.MethodId}");
            Lines(writer, "  - ", scouting.Steps);
        }

        writer.WriteLine(advice.Suitable.Count == 0 ? "May serve: none of the methods known here" : "May serve, the fittest first");
        foreach (var (at, method) in advice.Suitable.Index())
        {
            writer.WriteLine(Invariant($"{at + 1,3}. {method.MethodId}: {method.Title}"));
            writer.WriteLine($"       + {string.Join("; ", method.Reasons.Select(reason => reason.Text))}");
            Lines(writer, "       ! ", method.Conditions);
        }

        if (advice.RuledOut.Count > 0)
        {
            writer.WriteLine("Ruled out");
        }

        var width = advice.RuledOut.Select(method => method.MethodId.Length).DefaultIfEmpty().Max();
        foreach (var method in advice.RuledOut)
        {
            writer.WriteLine($"  {method.MethodId.PadRight(width)}  {string.Join("; ", method.Rules.Select(rule => sources ? $"{rule.Text} [{rule.Source}]" : rule.Text))}");
        }

        writer.WriteLine($"Cautions ({CommonPractice}, where no other is given)");
        foreach (var caution in advice.Cautions)
        {
            writer.WriteLine($"  - {caution.Text}{(caution.Source == CommonPractice ? "" : $" [{caution.Source}]")}");
        }
    }

    private static void Lines(TextWriter writer, string before, IReadOnlyList<AdviceNote> notes)
    {
        foreach (var note in notes)
        {
            writer.WriteLine($"{before}{note.Text}");
        }
    }

    private static string Asked(AdviceQuestion question) => string.Join(", ", new[]
    {
        AdviceWords.Of(question.Product),
        question.ExpectedFlashCelsius is { } expected ? Invariant($"flash point expected at {expected} °C") : "flash point unknown",
        question.Viscosity is { } viscosity ? Invariant($"{viscosity.SquareMillimetresPerSecond} mm²/s at {viscosity.AtCelsius} °C") : null,
        question.Solids ? "with solids" : null,
        question.FilmForming ? "forms a film" : null,
        question.VolatileContamination ? "something volatile suspected" : null,
        question.FirePoint ? "flash and fire point wanted" : "flash point wanted",
        question.Purpose is { } purpose ? $"for {AdviceWords.Of(purpose)}" : null,
    }.Where(part => part is not null));
}
