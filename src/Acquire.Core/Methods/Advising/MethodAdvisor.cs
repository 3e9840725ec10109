namespace Acquire.Core.Methods.Advising;

/// <summary>Says which methods may serve a specimen, why, and which may not. Nothing is measured, and no figure is converted from one cup to another.</summary>
public static class MethodAdvisor
{
    /// <summary>The advice; the same for the same methods and the same question.</summary>
    /// <param name="methods">The methods to choose from; their order decides where nothing else does.</param>
    /// <param name="question">What is known about the specimen.</param>
    public static MethodAdvice Advise(IReadOnlyList<MethodDefinition> methods, AdviceQuestion question)
    {
        ArgumentNullException.ThrowIfNull(methods);
        ArgumentNullException.ThrowIfNull(question);
        var judged = methods.Select(method => (Method: method, Rules: RulingOut.Rules(method, question))).ToArray();
        var suitable = Fitness.Order(judged.Where(one => one.Rules.Count == 0).Select(one => one.Method), question);
        var ruledOut = judged.Where(one => one.Rules.Count > 0).Select(one => new RuledOutMethod(one.Method.Id, one.Method.Title, one.Rules));
        return new()
        {
            Question = question,
            Suitable = [.. suitable.Select(method => new SuitableMethod(method.Id, method.Title, Speaking.For(method, question), Conditions.Of(method, question)))],
            RuledOut = [.. ruledOut],
            Scouting = Scouting.For(methods, question),
            Cautions = AdviceCautions.For(question),
        };
    }
}
