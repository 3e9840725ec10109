using System.Runtime.Intrinsics;

namespace Acquire.Core.Detection;

/// <summary>What is left of something that fades, and how much a mean follows, from reading to reading.</summary>
/// <remarks>
/// Computed in line: the C library's function is as quick by itself, but written without wide registers, and called among code
/// that uses them it waits for these, some forty nanoseconds at every reading.
/// </remarks>
internal static class Decay
{
    /// <summary>exp(−steps).</summary>
    /// <param name="steps">Time passed in units of the time constant; 0 or more, infinite too.</param>
    public static double Left(double steps) => Vector128.Exp(Vector128.CreateScalar(-steps)).ToScalar();

    /// <summary>1 − exp(−steps): the weight of a new value in a mean that follows.</summary>
    /// <param name="steps">Time passed in units of the time constant; 0 or more, infinite too.</param>
    public static double Weight(double steps) => 1 - Left(steps);
}
