namespace Acquire.Core.Control;

/// <summary>Compares the reading with the power: a thermometer outside the cup, a dead heater and a relay that sticks all show there.</summary>
internal static class PowerWatch
{
    // Without power the reading must rise in so many windows in a row, s: a thermometer put into a warm test portion has arrived by then.
    private const double WindowSeconds = 60;
    private const int Windows = 3;

    /// <summary>The heater is turned on: what was before does not count.</summary>
    public static void Restart(GuardState state)
    {
        state.OnSeconds = 0;
        state.FullPowerSeconds = 0;
        state.RisenFromCelsius = state.Celsius;
        state.OffWindowAt = double.NaN;
        state.OffRises = 0;
    }

    /// <summary>A sound reading came.</summary>
    public static void Follow(GuardState state, GuardLimits limits)
    {
        if (state.AtSeconds - state.PowerAt > limits.CoastSeconds)
        {
            Off(state, limits);
        }
        else
        {
            state.OffWindowAt = double.NaN;
            state.OffRises = 0;
        }

        On(state, limits);
    }

    /// <summary>Whether the reading has not risen without power for a whole window.</summary>
    public static bool Settled(GuardState state) => state.OffRises == 0;

    private static void On(GuardState state, GuardLimits limits)
    {
        // With the heater off the cup may cool as it likes; a rise is counted from where heating goes on. A block at its temperature is to stay there.
        var resting = state.OnSeconds == 0 || state.Celsius >= limits.HeldFromCelsius || state.AtSeconds - state.PowerAt > limits.CoastSeconds;
        if (resting || !(state.Celsius < state.RisenFromCelsius + limits.RiseCelsius))
        {
            state.RisenFromCelsius = state.Celsius;
            state.OnSeconds = 0;
            state.FullPowerSeconds = 0;
        }
        else if (state.OnSeconds > limits.NoRiseSeconds || state.FullPowerSeconds > limits.NoRiseFullPowerSeconds)
        {
            HeaterGuard.Trip(state, TripCodes.NoRise, state.AtSeconds,
                $"The heater was on for {Text.Seconds(state.OnSeconds)} and the reading did not rise by {Text.Celsius(limits.RiseCelsius)}. Is the thermometer in the cup? Does the heater work?");
        }
    }

    private static void Off(GuardState state, GuardLimits limits)
    {
        // A cold test portion warms up to the room by itself.
        var celsius = Math.Max(state.Celsius, limits.WarmsByItselfCelsius);
        if (double.IsNaN(state.OffWindowAt))
        {
            state.OffWindowAt = state.AtSeconds;
            state.OffWindowCelsius = celsius;
        }

        if (state.AtSeconds - state.OffWindowAt < WindowSeconds)
        {
            return;
        }

        state.OffRises = celsius - state.OffWindowCelsius >= limits.RiseCelsius ? Math.Min(state.OffRises + 1, Windows) : 0;
        state.OffWindowAt = state.AtSeconds;
        state.OffWindowCelsius = celsius;
        if (state.OffRises == Windows)
        {
            HeaterGuard.Trip(state, TripCodes.RiseWithoutPower, state.AtSeconds,
                $"The heater is off, yet the reading rose by {Text.Celsius(limits.RiseCelsius)} or more in each of the last {Windows} minutes. The relay may stick, or the specimen burns: turn the tester's main switch off.");
        }
    }
}
