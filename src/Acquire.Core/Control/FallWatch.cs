namespace Acquire.Core.Control;

/// <summary>Notices that the reading falls while the heater is on: nothing cold is added to a cup, so the thermometer has left it.</summary>
/// <remarks>
/// Judged over windows of <see cref="WindowSeconds"/>: by the mean without its two outermost readings, and by how many readings lie
/// low, so that one wild reading neither raises the reference nor trips. The reference, the highest mean since the heater gave power, goes down
/// only as a cup cools by itself: until the heat of a heater that was just turned on has come through, and while little or no power is asked for.
/// </remarks>
internal static class FallWatch
{
    /// <summary>Length of a window, s.</summary>
    public const double WindowSeconds = 3;

    // A slow thermometer needs longer for a window in which one wild reading is outvoted.
    private const int FewestReadings = 3;

    // The lightest cups lose heat with a time constant of some 240 s; where the heat has not come through yet, a cup that is simulated at several times its speed is still no fault. Per second.
    private const double CoolsPerSecond = 1 / 240.0, CoolsAtFirstPerSecond = 1 / 100.0;

    // No cup is cooled below this by a room, °C.
    private const double RoomCelsius = 15;

    // Heat has come through once the mean has risen by so much from its lowest, °C.
    private const double RisenCelsius = 1;

    // The heat of a heater that was turned on has come through the heaviest cup by then, s.
    private const double ComesThroughSeconds = 120;

    // Power that grows is meant over the longer time, since its heat has to come through, and power that is cut over the shorter, s; from so much of it on no cup cools.
    private const double GrowingPowerSeconds = 60, CutPowerSeconds = 15, WarmingFraction = 0.15;

    // The heater counts as giving power above this.
    private const double OffFraction = 0.005;

    /// <summary>The heater is turned on: what was before does not count.</summary>
    public static void Restart(GuardState state)
    {
        state.FallReferenceCelsius = state.FallLowestCelsius = double.NaN;
        state.FallReadAt = double.NaN;
        (state.FallPower, state.FallHasRisen) = (0, false);
        Begin(state, double.NaN);
    }

    /// <summary>A sound reading came.</summary>
    public static void Follow(GuardState state, GuardLimits limits)
    {
        if (!state.Armed || (double.IsNaN(state.FallWindowAt) && state.Given <= OffFraction))
        {
            return;
        }

        var elapsed = double.IsNaN(state.FallReadAt) ? 0 : state.AtSeconds - state.FallReadAt;
        state.FallReadAt = state.AtSeconds;
        state.FallPower += (1 - Math.Exp(-elapsed / (state.Given < state.FallPower ? CutPowerSeconds : GrowingPowerSeconds))) * (state.Given - state.FallPower);
        Cool(state, elapsed);
        if (double.IsNaN(state.FallWindowAt))
        {
            Begin(state, state.AtSeconds);
        }

        Count(state, limits);
        if (state.FallCount >= FewestReadings && state.AtSeconds - state.FallWindowAt >= WindowSeconds)
        {
            Judge(state, limits);
            Begin(state, state.AtSeconds);
        }
    }

    /// <summary>The supervision takes the cup for cooling. Right after the heater is turned on that is no fault: the heat has not come through yet.</summary>
    public static void Cooling(GuardState state)
    {
        if (state.Armed && (state.FallHasRisen || state.OnSeconds > ComesThroughSeconds))
        {
            HeaterGuard.Trip(state, TripCodes.ReadingFell, state.AtSeconds,
                "The supervision takes the cup for cooling while the heater is on, and closes the record soon: the thermometer may have left the specimen, or the heater does not work. Look at the cup.");
        }
    }

    private static void Cool(GuardState state, double elapsed)
    {
        var perSecond = state.FallHasRisen ? CoolsPerSecond * Math.Max(0, 1 - (state.FallPower / WarmingFraction)) : CoolsAtFirstPerSecond;
        state.FallReferenceCelsius -= perSecond * elapsed * Math.Max(0, state.FallReferenceCelsius - RoomCelsius);
    }

    private static void Begin(GuardState state, double seconds)
    {
        state.FallWindowAt = seconds;
        (state.FallCount, state.FallLow, state.FallSum) = (0, 0, 0);
        (state.FallLeast, state.FallMost) = (double.MaxValue, double.MinValue);
    }

    private static void Count(GuardState state, GuardLimits limits)
    {
        state.FallCount++;
        state.FallSum += state.Celsius;
        state.FallLeast = Math.Min(state.FallLeast, state.Celsius);
        state.FallMost = Math.Max(state.FallMost, state.Celsius);
        state.FallLow += state.Celsius < state.FallReferenceCelsius - limits.FallCelsius ? 1 : 0;
    }

    private static void Judge(GuardState state, GuardLimits limits)
    {
        var mean = (state.FallSum - state.FallLeast - state.FallMost) / (state.FallCount - 2);
        if (state.FallLow * 2 > state.FallCount)
        {
            HeaterGuard.Trip(state, TripCodes.ReadingFell, state.AtSeconds,
                $"The reading fell to {Text.Celsius(mean)} while the heater was on, from {Text.Celsius(state.FallReferenceCelsius)} (limit {Text.Celsius(limits.FallCelsius)}). No cup cools while it is heated: the thermometer may have left the specimen. Put it back, or look for what else became cold.");
            return;
        }

        var first = double.IsNaN(state.FallReferenceCelsius);
        state.FallReferenceCelsius = first ? mean : Math.Max(state.FallReferenceCelsius, mean);
        state.FallLowestCelsius = first ? mean : Math.Min(state.FallLowestCelsius, mean);
        state.FallHasRisen |= mean >= state.FallLowestCelsius + RisenCelsius;
    }
}
