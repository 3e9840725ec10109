using CsCheck;

namespace Acquire.Core.Tests.Traces;

/// <summary>Generators over a short list of choices.</summary>
internal static class Pick
{
    /// <summary>One of the choices, each as likely as the others.</summary>
    public static Gen<T> From<T>(params T[] choices) => Gen.Int[0, choices.Length - 1].Select(index => choices[index]);
}
