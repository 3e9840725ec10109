using Acquire.Core.Readings;

namespace Acquire.Core.Control;

/// <summary>Decides whether the heater may be on at all. It stands above the controller, and whatever it turns off stays off until a person turns it on.</summary>
/// <remarks>
/// Pure: time comes with the inputs. Not a safety device: it runs on the same computer, reads the same thermometer and speaks over
/// the same wire as what it watches. It only makes common mistakes end early.
/// </remarks>
public static class HeaterGuard
{
    // Readings of several channels may come a little out of order; a clock that was set back goes farther.
    private const double LargestStepBackSeconds = 0.5;

    // Cause over: so far below the limit, °C.
    private const double CoolerCelsius = 5;

    // Below this the heater counts as off: no real heater warms a cup with it.
    private const double OffFraction = 0.005;

    /// <summary>A guard for a run that is not open yet: off.</summary>
    public static GuardState Begin()
    {
        var state = new GuardState();
        Trip(state, TripCodes.RunNotOpen, 0, "The heater is off because no run is open.");
        return state;
    }

    /// <summary>The run is open: from now on a person may turn the heater on.</summary>
    public static void RunOpened(GuardState state, double seconds)
    {
        Forward(state, seconds);
        state.RunOpen = true;
    }

    /// <summary>The run is closed, or what remains of it no longer needs heat.</summary>
    public static void RunClosed(GuardState state, double seconds)
    {
        Forward(state, seconds);
        state.RunOpen = false;
        Trip(state, TripCodes.RunNotOpen, state.AtSeconds, "The heater is off because the run is over. The cup stays hot: let it cool.");
    }

    /// <summary>The result is complete: what remains of the run needs no heat, and the heater cannot be turned on again in it.</summary>
    public static void Completed(GuardState state, double seconds)
    {
        Forward(state, seconds);
        state.Complete = true;
        Trip(state, TripCodes.ResultComplete, state.AtSeconds, "The heater is off because the determination is complete. The cup stays hot: let it cool.");
    }

    /// <summary>The service is ending.</summary>
    public static void ServiceStopping(GuardState state, double seconds)
    {
        Forward(state, seconds);
        Trip(state, TripCodes.ServiceStopping, state.AtSeconds, "The heater is off because the service was stopped.");
    }

    /// <summary>A person turns the heater off.</summary>
    /// <param name="state">The guard.</param>
    /// <param name="seconds">When, s.</param>
    /// <param name="person">Who; null where nobody said.</param>
    public static void Stop(GuardState state, double seconds, string? person = null)
    {
        Forward(state, seconds);
        Trip(state, TripCodes.OperatorStop, state.AtSeconds, $"{person ?? "A person"} turned the heater off.");
    }

    /// <summary>Something in the program failed.</summary>
    /// <param name="state">The guard.</param>
    /// <param name="seconds">When, s.</param>
    /// <param name="what">What failed, a few words for a person.</param>
    public static void Fault(GuardState state, double seconds, string what)
    {
        Forward(state, seconds);
        Trip(state, TripCodes.ProgramFault, state.AtSeconds, $"The heater is off because the program failed: {what}.");
    }

    /// <summary>The run was taken up again from what was kept. Reading a <see cref="GuardState"/> back does this by itself.</summary>
    public static void Resumed(GuardState state)
    {
        ArgumentNullException.ThrowIfNull(state);
        state.RisenFromCelsius = double.NaN;
        state.OnSeconds = 0;
        state.FullPowerSeconds = 0;
        Trip(state, TripCodes.Resumed, state.AtSeconds, "The heater is off because the service had stopped and took the run up again. Look at the cup before you go on.");
    }

    /// <summary>A reading of the thermometer.</summary>
    /// <param name="state">The guard; moved on by the call.</param>
    /// <param name="limits">The same limits for all calls.</param>
    /// <param name="seconds">Its time, s.</param>
    /// <param name="celsius">Its value, °C; what is no finite number counts as bad.</param>
    /// <param name="marks">What is known against it.</param>
    public static void Reading(GuardState state, GuardLimits limits, double seconds, double celsius, ReadingMarks marks)
    {
        ArgumentNullException.ThrowIfNull(limits);
        // A reading may come late with the time it was made at; only the clock of the calls without a reading must not go back.
        Pass(state, limits, seconds);
        if (!double.IsFinite(celsius) || (marks & ReadingMarks.Bad) != 0)
        {
            Bad(state, limits, marks);
            return;
        }

        state.BadInARow = 0;
        state.SoundAt = Math.Max(state.SoundAt, IsTime(seconds) ? seconds : state.SoundAt);
        state.Celsius = celsius;
        if (!(celsius <= limits.HighestCelsius))
        {
            Trip(state, TripCodes.OverTemperature, state.AtSeconds, $"The thermometer reads {Text.Celsius(celsius)}; the heater is off above {Text.Celsius(limits.HighestCelsius)}.");
        }

        PowerWatch.Follow(state, limits);
        FallWatch.Follow(state, limits);
    }

    /// <summary>Time goes by.</summary>
    public static void Tick(GuardState state, GuardLimits limits, double seconds)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(limits);
        if (seconds < state.AtSeconds - LargestStepBackSeconds)
        {
            // Silence and heating time are counted on this clock: one that runs again through what is past would hide both.
            Fault(state, state.AtSeconds, "a clock that went back");
        }

        Pass(state, limits, seconds);
    }

    private static void Pass(GuardState state, GuardLimits limits, double seconds)
    {
        var before = Forward(state, seconds);
        if (!IsTime(seconds))
        {
            Fault(state, state.AtSeconds, "a time that is no number");
            return;
        }

        if (state.Given > OffFraction)
        {
            var elapsed = double.IsFinite(before) ? state.AtSeconds - before : 0;
            state.OnSeconds += elapsed;
            state.FullPowerSeconds += elapsed * state.Given;
            state.PowerAt = state.AtSeconds;
        }

        var silent = state.AtSeconds - state.SoundAt;
        if (state.Armed && !(silent <= limits.SilentSeconds))
        {
            Trip(state, TripCodes.ReadingSilent, state.AtSeconds, $"No sound thermometer reading for {Text.Seconds(silent)} (limit {Text.Seconds(limits.SilentSeconds)}). Check the thermometer and its wire.");
        }
    }

    /// <summary>What reaches the heater of the power that is asked for: that, or 0.</summary>
    /// <param name="state">The guard; moved on by the call.</param>
    /// <param name="limits">The same limits for all calls.</param>
    /// <param name="seconds">Time, s.</param>
    /// <param name="wantedFraction">Power asked for; what is no finite number turns the heater off for good, what is outside 0 to 1 is cut to it.</param>
    public static double Decide(GuardState state, GuardLimits limits, double seconds, double wantedFraction)
    {
        Tick(state, limits, seconds);
        if (!double.IsFinite(wantedFraction))
        {
            Fault(state, state.AtSeconds, "a power that is no number");
        }

        state.Given = state.Armed && state.Trips.Count == 0 ? Math.Clamp(wantedFraction, 0, 1) : 0;
        return state.Given;
    }

    /// <summary>A person turns the heater on, for the first time or again. Null where that worked; else the cause that still stands.</summary>
    /// <param name="state">The guard; moved on by the call.</param>
    /// <param name="limits">The same limits for all calls.</param>
    /// <param name="seconds">Time, s.</param>
    /// <param name="person">Who decides; not empty.</param>
    public static InputError? Rearm(GuardState state, GuardLimits limits, double seconds, string person)
    {
        Tick(state, limits, seconds);
        if (string.IsNullOrWhiteSpace(person))
        {
            return new("person", "is empty: a person must answer for turning the heater on");
        }

        if (Standing(state, limits) is { } standing)
        {
            return new("heater", standing);
        }

        state.Trips = [];
        state.Armed = true;
        state.ArmedBy = person;
        state.Given = 0;
        PowerWatch.Restart(state);
        FallWatch.Restart(state);
        return null;
    }

    private static string? Standing(GuardState state, GuardLimits limits)
    {
        var silent = state.AtSeconds - state.SoundAt;
        return !state.RunOpen ? "no run is open"
            : state.Complete ? "the determination is complete; nothing needs heat any more"
            : !double.IsFinite(state.AtSeconds) ? "no time has been given yet"
            : state.BadInARow > 0 ? "the newest thermometer reading is bad"
            : !(silent <= limits.SilentSeconds) ? $"there is no sound thermometer reading within {Text.Seconds(limits.SilentSeconds)}"
            : !(state.Celsius <= limits.HighestCelsius - CoolerCelsius) ? $"the thermometer reads {Text.Celsius(state.Celsius)}; wait until it is below {Text.Celsius(limits.HighestCelsius - CoolerCelsius)}"
            : state.Trips.Any(trip => trip.Code == TripCodes.RiseWithoutPower) && !PowerWatch.Settled(state) ? "the reading has not stopped rising without power for a minute: check the heater's relay"
            : null;
    }

    private static void Bad(GuardState state, GuardLimits limits, ReadingMarks marks)
    {
        state.BadInARow = Math.Min(state.BadInARow + 1, int.MaxValue - 1);
        if (state.BadInARow < limits.BadReadings)
        {
            return;
        }

        var why = (marks & ReadingMarks.Bad) == 0 ? "not a number" : string.Join(", ", ReadingMarkWords.List(marks & ReadingMarks.Bad));
        Trip(state, TripCodes.ReadingBad, state.AtSeconds, $"The thermometer's readings are bad ({why}), {limits.BadReadings} in a row. Check the thermometer and its wire.");
    }

    internal static void Trip(GuardState state, string code, double seconds, string sentence)
    {
        state.Armed = false;
        state.Given = 0;
        if (state.Trips.All(trip => trip.Code != code))
        {
            state.Trips = [.. state.Trips, HeaterTrip.Of(code, seconds, sentence)];
        }
    }

    /// <summary>Moves the time on, never back; returns the time before.</summary>
    private static double Forward(GuardState state, double seconds)
    {
        ArgumentNullException.ThrowIfNull(state);
        var before = state.AtSeconds;
        state.AtSeconds = IsTime(seconds) ? Math.Max(before, seconds) : before;
        return before;
    }

    private static bool IsTime(double seconds) => double.IsFinite(seconds) && Math.Abs(seconds) <= Runs.RunInput.FarthestSeconds;
}
