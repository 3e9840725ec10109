namespace Acquire.Core.Methods.Advising;

/// <summary>One reason, condition, rule or caution. It quotes figures as they were given or as the method has them; none is computed.</summary>
/// <param name="Code">Stable word for programs, lower case with hyphens.</param>
/// <param name="Text">For the person, without a full stop.</param>
/// <param name="Source">Standard and clause, the part of the method file, or the words `common practice, no source`.</param>
public sealed record AdviceNote(string Code, string Text, string Source);
