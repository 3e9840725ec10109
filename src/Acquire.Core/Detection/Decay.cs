using System.Runtime.Intrinsics;

namespace Acquire.Core.Detection;

/// <summary>What is left of something that fades, and how much a mean follows, from reading to reading; where these come evenly it is computed once.</summary>
/// <remarks>
/// The time is rounded to a hundredth of a nanosecond, which takes the rounding of times off it: so what is kept is what would
/// be computed, and no part of a snapshot. Computed in line: the C library's function is as quick by itself, but written
/// without wide registers, and called among code that uses them it waits for these, some forty nanoseconds at every reading.
/// Lies in the object that uses it, in a field that can be written: a copy would compute everything again.
/// </remarks>
/// <param name="seconds">Time constant, s.</param>
internal struct Decay(double seconds)
{
    private const double PerSecond = 1e11;

    private double _step = double.NaN;
    private double _left;

    /// <summary>exp(−step/time constant).</summary>
    /// <param name="step">Time passed, s; 0 or more, infinite too.</param>
    public double Left(double step)
    {
        var rounded = Math.Round(step * PerSecond);
        if (rounded != _step)
        {
            (_step, _left) = (rounded, Vector128.Exp(Vector128.CreateScalar(-rounded / (PerSecond * seconds))).ToScalar());
        }

        return _left;
    }

    /// <summary>1 − exp(−step/time constant): the weight of a new value in a mean that follows.</summary>
    /// <param name="step">Time passed, s; 0 or more, infinite too.</param>
    public double Weight(double step) => 1 - Left(step);
}
