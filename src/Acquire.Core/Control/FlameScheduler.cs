namespace Acquire.Core.Control;

/// <summary>Commands the test flame in a driven run, so that the middle of each pass falls on the temperature at which it is due.</summary>
/// <remarks>
/// A line through the newest 12 s foretells when the due temperature will be read; the command goes out half a pass, and the
/// mechanism's reaction, earlier. Pure: time comes with the inputs. An application that can no longer be made in place is left
/// out, not caught up. While the specimen burns there is none; after a stop there is none any more.
/// </remarks>
public static class FlameScheduler
{
    private const double LargestStepBackSeconds = 0.5;
    private const double WindowSeconds = 12;

    // Without a reading for longer than this the line says nothing about now, s.
    private const double LongestSilenceSeconds = 3;

    private const double ShortestIntervalCelsius = 0.05;

    // An application may be made so far above its temperature, as a part of the interval; beyond, the next one is awaited.
    private const double LatestShare = 0.25;

    /// <summary>A schedule about to begin.</summary>
    public static FlameState Begin() => new();

    /// <summary>Takes a sound reading of the thermometer; returns a command, or null. A reading whose time does not go forward only lets time pass.</summary>
    /// <param name="state">The schedule; moved on by the call.</param>
    /// <param name="rules">The same rules for all calls.</param>
    /// <param name="seconds">Time, s; finite.</param>
    /// <param name="celsius">Reading, °C; finite, bad ones are not given here.</param>
    /// <exception cref="ArgumentOutOfRangeException">Time or reading is not finite, or the rules lead nowhere.</exception>
    public static FlameCommand? Reading(FlameState state, FlameRules rules, double seconds, double celsius)
    {
        Learn(state, rules, seconds, celsius);
        return Tick(state, rules, seconds);
    }

    /// <summary>Takes a sound reading without letting time pass: it may come late, where <see cref="Tick"/> has gone on by a clock of its own.</summary>
    /// <inheritdoc cref="Reading" path="/param"/>
    /// <exception cref="ArgumentOutOfRangeException">Time or reading is not finite.</exception>
    public static void Learn(FlameState state, FlameRules rules, double seconds, double celsius)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(rules);
        if (!double.IsFinite(seconds) || !double.IsFinite(celsius) || Math.Abs(celsius) > 2000)
        {
            throw new ArgumentOutOfRangeException(nameof(celsius), $"{celsius} °C at {seconds} s is no reading of a cup.");
        }

        if (seconds > state.ReadAt)
        {
            state.ReadAt = seconds;
            state.Ramp.Add(seconds, celsius);
            state.DueCelsius ??= rules.FirstCelsius;
        }
    }

    /// <summary>The application that is under way changes what is due next: so far above the temperature at which it was due itself.</summary>
    /// <param name="state">The schedule; moved on by the call.</param>
    /// <param name="intervalCelsius">The interval that holds from here on, °C; above 0.</param>
    /// <exception cref="ArgumentOutOfRangeException">The interval leads nowhere.</exception>
    public static void NextAfter(FlameState state, double intervalCelsius)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentOutOfRangeException.ThrowIfLessThan(intervalCelsius, ShortestIntervalCelsius);
        if (state.Over)
        {
            state.DueCelsius = state.OverDueCelsius + intervalCelsius;
        }
    }

    /// <summary>Takes a flame that is over the cup away; what was due goes on from where the temperature is when time passes again.</summary>
    public static FlameCommand? Withdraw(FlameState state, double seconds)
    {
        ArgumentNullException.ThrowIfNull(state);
        state.AtSeconds = double.IsFinite(seconds) ? Math.Max(state.AtSeconds, seconds) : state.AtSeconds;
        return state.Over ? Away(state) : null;
    }

    /// <summary>Time goes by; returns a command, or null.</summary>
    /// <inheritdoc cref="Reading" path="/param"/>
    public static FlameCommand? Tick(FlameState state, FlameRules rules, double seconds)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(rules);
        // A clock that went back would keep the flame over the cup until it has caught up.
        var wentBack = seconds < state.AtSeconds - LargestStepBackSeconds;
        state.AtSeconds = double.IsFinite(seconds) ? Math.Max(state.AtSeconds, seconds) : state.AtSeconds;
        if (state.Over)
        {
            return wentBack || state.AtSeconds >= state.AwayAt ? Away(state) : null;
        }

        var silent = !(state.AtSeconds - state.ReadAt <= LongestSilenceSeconds);
        return state.Stopped || state.Burning || silent || state.DueCelsius is not { } due ? null : Due(state, rules, due);
    }

    /// <summary>The specimen burns, or no longer; a flame that is over the cup is taken away at once.</summary>
    public static FlameCommand? Burning(FlameState state, double seconds, bool burning)
    {
        ArgumentNullException.ThrowIfNull(state);
        state.Burning = burning;
        state.AtSeconds = double.IsFinite(seconds) ? Math.Max(state.AtSeconds, seconds) : state.AtSeconds;
        return burning && state.Over ? Away(state) : null;
    }

    /// <summary>The fire point is found, or the run is over: no more applications.</summary>
    public static FlameCommand? Stop(FlameState state, double seconds)
    {
        ArgumentNullException.ThrowIfNull(state);
        state.Stopped = true;
        state.AtSeconds = double.IsFinite(seconds) ? Math.Max(state.AtSeconds, seconds) : state.AtSeconds;
        return state.Over ? Away(state) : null;
    }

    private static FlameCommand? Due(FlameState state, FlameRules rules, double due)
    {
        if (state.Ramp.Fit(WindowSeconds, double.NegativeInfinity) is not { } line)
        {
            return null;
        }

        var lead = (rules.PassSeconds / 2) + rules.ReactionSeconds;
        var middle = line.At(state.AtSeconds + lead);
        if (middle < due)
        {
            return null;
        }

        var next = Next(rules, due);
        var place = due;
        while (middle > place + (LatestShare * (next - place)))
        {
            if (middle < next)
            {
                state.DueCelsius = next;
                return null;
            }

            place = next;
            next = Next(rules, place);
        }

        state.DueCelsius = next;
        return Apply(state, rules, place);
    }

    private static FlameCommand Apply(FlameState state, FlameRules rules, double due)
    {
        state.Made++;
        state.Over = true;
        state.OverDueCelsius = due;
        state.AwayAt = state.AtSeconds + rules.PassSeconds;
        return new FlameCommand(state.AtSeconds, true, state.Made, due);
    }

    private static FlameCommand Away(FlameState state)
    {
        state.Over = false;
        return new FlameCommand(state.AtSeconds, false, state.Made, state.OverDueCelsius);
    }

    private static double Next(FlameRules rules, double due)
    {
        var next = rules.NextDueCelsius(due);
        return next >= due + ShortestIntervalCelsius && double.IsFinite(next)
            ? next
            : throw new ArgumentOutOfRangeException(nameof(rules), $"After {due} °C the next application would be due at {next} °C; it must be higher.");
    }
}
