namespace Acquire.Core.Methods.Advising;

/// <summary>Which methods may serve a specimen and which may not. Advice: the specification or regulation names the method.</summary>
public sealed record MethodAdvice
{
    /// <summary>What was asked.</summary>
    public required AdviceQuestion Question { get; init; }

    /// <summary>Methods in whose scope the specimen lies, the fittest first; empty where none serves.</summary>
    public required IReadOnlyList<SuitableMethod> Suitable { get; init; }

    /// <summary>All other methods, in the order of the set.</summary>
    public required IReadOnlyList<RuledOutMethod> RuledOut { get; init; }

    /// <summary>How to begin where the flash point is unknown; null where it is expected, or where no method says.</summary>
    public required ScoutingAdvice? Scouting { get; init; }

    /// <summary>What holds whatever is chosen.</summary>
    public required IReadOnlyList<AdviceNote> Cautions { get; init; }
}

/// <summary>A method that may serve.</summary>
/// <param name="MethodId">Its id.</param>
/// <param name="Title">Its title.</param>
/// <param name="Reasons">What speaks for it.</param>
/// <param name="Conditions">What must be true or be looked at before it is taken; often empty.</param>
public sealed record SuitableMethod(string MethodId, string Title, IReadOnlyList<AdviceNote> Reasons, IReadOnlyList<AdviceNote> Conditions);

/// <summary>A method that cannot serve.</summary>
/// <param name="MethodId">Its id.</param>
/// <param name="Title">Its title.</param>
/// <param name="Rules">Every rule that excludes it; at least one.</param>
public sealed record RuledOutMethod(string MethodId, string Title, IReadOnlyList<AdviceNote> Rules);

/// <summary>A run that finds out what to expect.</summary>
/// <param name="MethodId">The method whose rules for an unknown flash point are quoted: a safe choice.</param>
/// <param name="Steps">What to do, in order.</param>
public sealed record ScoutingAdvice(string MethodId, IReadOnlyList<AdviceNote> Steps);
