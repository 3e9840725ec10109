using System.Globalization;
using Acquire.Core;

namespace Acquire.Simulator;

/// <summary>How much faster than a real tester a simulated one may speak.</summary>
public static class SpeakingSpeed
{
    /// <summary>As a real tester.</summary>
    public const double Least = 1;

    /// <summary>A whole run in half a minute.</summary>
    public const double Most = 60;

    /// <summary>The error, under the given path, of a speed that is out of range; empty for one within.</summary>
    public static IReadOnlyList<InputError> Check(string path, double speed) => speed is >= Least and <= Most
        ? []
        : [new(path, string.Create(CultureInfo.InvariantCulture, $"{speed} is not within {Least} to {Most}"))];

    internal static void Require(double speed) =>
        ArgumentOutOfRangeException.ThrowIfNotEqual(speed is >= Least and <= Most, true, nameof(speed));
}
