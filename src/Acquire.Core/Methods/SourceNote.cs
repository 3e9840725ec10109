namespace Acquire.Core.Methods;

/// <summary>Where a figure comes from.</summary>
/// <param name="Figure">Which figure of the method.</param>
/// <param name="Citation">Standard and clause, or the words `common practice, no source`.</param>
/// <param name="FromMemory">True where the figure was recalled and not yet compared with a licensed copy.</param>
public sealed record SourceNote(string Figure, string Citation, bool FromMemory = false);
