using Acquire.Core.Methods;
using Acquire.Core.Methods.Advising;

namespace Acquire.Core.Tests.Methods.Advising;

/// <summary>Questions as a person writes them: `product=fame expected-flash=150 fire-point=true`.</summary>
internal static class Ask
{
    public static AdviceQuestion Question(string words) =>
        AdviceQuestionReader.TryRead(Given(words), "--", out var question, out var errors) ? question : throw new ArgumentException(string.Join("; ", errors), nameof(words));

    public static IReadOnlyList<InputError> Errors(string words) =>
        AdviceQuestionReader.TryRead(Given(words), "--", out _, out var errors) ? [] : errors;

    public static MethodAdvice Advice(string words, IReadOnlyList<MethodDefinition>? methods = null) => MethodAdvisor.Advise(methods ?? MethodCatalog.All, Question(words));

    /// <summary>Codes of the rules that exclude a method, joined by spaces; empty where it may serve.</summary>
    public static string WhyNot(string words, string method) =>
        string.Join(' ', Advice(words).RuledOut.SingleOrDefault(one => one.MethodId == method)?.Rules.Select(rule => rule.Code) ?? []);

    private static Dictionary<string, string> Given(string words) =>
        words.Split(' ', StringSplitOptions.RemoveEmptyEntries).Select(word => word.Split('=', 2)).ToDictionary(pair => pair[0], pair => pair[1]);
}
