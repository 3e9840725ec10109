namespace Acquire.Core.Methods.Advising;

/// <summary>How a viscosity stands against the limits of a method.</summary>
internal enum ViscosityStanding
{
    /// <summary>The method has no limit.</summary>
    NoLimit,

    /// <summary>Thin enough by one of the limits at least.</summary>
    ThinEnough,

    /// <summary>Not known, or measured where it decides nothing.</summary>
    Open,

    /// <summary>Too thick by every limit.</summary>
    TooThick,
}

/// <summary>Holds a viscosity against limits at other temperatures without converting it.</summary>
internal static class ViscosityLimits
{
    /// <summary>How the viscosity stands.</summary>
    public static ViscosityStanding Stand(IReadOnlyList<ViscosityLimit>? limits, KinematicViscosity? given)
    {
        if (limits is not { Count: > 0 })
        {
            return ViscosityStanding.NoLimit;
        }

        if (given is null)
        {
            return ViscosityStanding.Open;
        }

        return limits.Any(limit => IsBelow(given, limit)) ? ViscosityStanding.ThinEnough
            : limits.All(limit => IsAbove(given, limit)) ? ViscosityStanding.TooThick
            : ViscosityStanding.Open;
    }

    // A liquid gets thinner as it warms. So what is thin enough when colder is so at the limit's temperature, and what is too thick when warmer likewise.
    private static bool IsBelow(KinematicViscosity given, ViscosityLimit limit) =>
        given.AtCelsius <= limit.AtCelsius && given.SquareMillimetresPerSecond < limit.SquareMillimetresPerSecond;

    private static bool IsAbove(KinematicViscosity given, ViscosityLimit limit) =>
        given.AtCelsius >= limit.AtCelsius && given.SquareMillimetresPerSecond >= limit.SquareMillimetresPerSecond;
}
