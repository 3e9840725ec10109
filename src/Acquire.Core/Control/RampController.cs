namespace Acquire.Core.Control;

/// <summary>Holds the ramp: from readings of the thermometer to the heater's command.</summary>
/// <remarks>
/// Predictive functional control (Richalet and O'Donovan, Predictive Functional Control, 2009) with a model that learns: each
/// second the command is the one by which the model arrives at the planned rate a little later. The model is fed with what the
/// heater was really given, so limits and cut-offs wind nothing up; what the model gets wrong is measured and carried on, which
/// leaves no lasting error. Pure: time comes with the inputs. It says what heating the plan needs, never whether the heater may
/// be on: that is the matter of <see cref="HeaterGuard"/>.
/// </remarks>
public static class RampController
{
    // The command changes by no more than this in a second.
    private const double SlewPerSecond = 0.1;

    // The rate aimed at grows from this part of it, over these seconds: a cup that is lighter than thought must not run away.
    private const double SoftShare = 0.3, SoftSeconds = 100;

    // Where one fast rate holds from the start it is aimed at so much higher for so long, and then falls off. Slow rates have the time.
    private const double BoostShare = 0.07, BoostSeconds = 150, BoostFallSeconds = 60, BoostFromCelsiusPerMinute = 4;

    // After this long without a step, s, the past says nothing about the heat under way.
    private const double LongestGapSeconds = 30;

    /// <summary>A heating about to begin.</summary>
    /// <param name="model">What is known of the heater; its figures have been checked.</param>
    public static RampState Begin(HeaterModel model)
    {
        ArgumentNullException.ThrowIfNull(model);
        var state = new RampState { Candidates = LagBank.For(model) };
        for (var i = 0; i < state.Candidates.Length; i++)
        {
            state.Chosen = state.Candidates[i].Misfit < state.Candidates[state.Chosen].Misfit ? i : state.Chosen;
        }

        return state;
    }

    /// <summary>Takes a sound reading; returns the command, 0 to 1. A reading whose time does not go forward changes nothing.</summary>
    /// <param name="state">The heating; moved on by the call.</param>
    /// <param name="plan">The same plan for all calls.</param>
    /// <param name="model">The same model for all calls.</param>
    /// <param name="seconds">Time of the reading, s.</param>
    /// <param name="celsius">Reading, °C; bad ones are not given here.</param>
    /// <param name="heaterAllowed">Whether the heater has been on since the last input as commanded; false: it was and stays off.</param>
    /// <exception cref="ArgumentOutOfRangeException">Time or reading is not finite, or the reading no temperature of a cup.</exception>
    public static double Take(RampState state, HeatingPlan plan, HeaterModel model, double seconds, double celsius, bool heaterAllowed)
    {
        if (!double.IsFinite(celsius) || Math.Abs(celsius) > 2000)
        {
            throw new ArgumentOutOfRangeException(nameof(celsius), $"{celsius} °C is no temperature of a cup.");
        }

        if (!Advance(state, plan, model, seconds, heaterAllowed))
        {
            return state.Command;
        }

        state.Sum += celsius;
        state.Count++;
        return state.Command;
    }

    /// <summary>Time goes by without a sound reading; returns the command, 0 to 1.</summary>
    /// <inheritdoc cref="Take" path="/param"/>
    /// <exception cref="ArgumentOutOfRangeException">The time is not finite.</exception>
    public static double Tick(RampState state, HeatingPlan plan, HeaterModel model, double seconds, bool heaterAllowed)
    {
        Advance(state, plan, model, seconds, heaterAllowed);
        return state.Command;
    }

    private static bool Advance(RampState state, HeatingPlan plan, HeaterModel model, double seconds, bool heaterAllowed)
    {
        ArgumentNullException.ThrowIfNull(state);
        if (!double.IsFinite(seconds) || Math.Abs(seconds) > Runs.RunInput.FarthestSeconds)
        {
            throw new ArgumentOutOfRangeException(nameof(seconds), $"{seconds} s is no time of a run.");
        }

        if (!heaterAllowed)
        {
            state.Command = 0;
        }

        if (seconds <= state.AtSeconds)
        {
            return false;
        }

        if (seconds - state.AtSeconds > LongestGapSeconds && state.Second is not null)
        {
            Rest(state, seconds - state.AtSeconds);
        }

        state.AtSeconds = seconds;
        state.Commands[0] = heaterAllowed ? state.Commands[0] : 0;

        var second = (long)Math.Floor(seconds);
        for (state.Second ??= second; state.Second < second; state.Second++)
        {
            if (state.Count > 0 || state.Steps > 0)
            {
                Step(state, plan, model, heaterAllowed);
            }
        }

        return true;
    }

    private static void Rest(RampState state, double seconds)
    {
        foreach (var candidate in state.Candidates)
        {
            candidate.Rest(seconds);
        }

        Array.Clear(state.Commands);
        state.Temperature = new RateFilter();
        state.Shape = new RateFilter();
        state.Second = null;
        state.Command = state.Sum = state.Count = state.Steps = 0;
    }

    private static void Step(RampState state, HeatingPlan plan, HeaterModel model, bool heaterAllowed)
    {
        state.Celsius = state.Count > 0 ? state.Sum / state.Count : state.Celsius + state.Temperature.RisePerSecond;
        state.Sum = 0;
        state.Count = 0;
        state.Steps++;
        var excess = state.Celsius - model.AmbientCelsius;
        state.Temperature.Add(state.Celsius);
        state.Shape.Add(LossShape.At(excess));
        state.TargetCelsiusPerMinute = plan.TargetAt(state.Celsius);
        var seen = new SeenHeating(state.Temperature.RisePerSecond, state.TargetCelsiusPerMinute / 60, state.Shape.Value, LossShape.GrowthAt(excess));
        foreach (var candidate in state.Candidates)
        {
            candidate.Heat(state.Commands[0], state.Commands[candidate.DeadSeconds]);
            candidate.Learn(seen);
        }

        state.Chosen = LagBank.Choose(state.Candidates, state.Chosen);
        var wanted = state.Candidates[state.Chosen].Command(Ahead(state, plan, model));
        var near = Math.Clamp(wanted, state.Command - SlewPerSecond, state.Command + SlewPerSecond);
        state.Command = heaterAllowed && double.IsFinite(near) ? Math.Clamp(near, 0, model.LargestFraction) : 0;
        Array.Copy(state.Commands, 0, state.Commands, 1, RampState.Remembered - 1);
        state.Commands[0] = state.Command;
    }

    private static WantedHeating Ahead(RampState state, HeatingPlan plan, HeaterModel model)
    {
        var chosen = state.Candidates[state.Chosen];
        var rate = state.Temperature.RisePerSecond;
        var ahead = chosen.DeadSeconds + chosen.HorizonSeconds;
        var wanted = plan.TargetAt(state.Celsius + (ahead * rate)) / 60;
        var mean = (rate + wanted) / 2;
        var there = state.Celsius + (ahead * mean);
        wanted = plan.TargetAt(there) / 60 * Math.Min(1, SoftShare + (state.Steps / SoftSeconds)) * Boost(state, plan, model);
        var excess = there - model.AmbientCelsius;
        var rise = (ahead * mean) + (2 * RateFilter.LagSeconds * rate);
        return new WantedHeating(wanted, chosen.HorizonSeconds, LossShape.At(excess), LossShape.GrowthAt(excess), rise, mean);
    }

    // One rate from the start is judged after a few degrees: the last part of the approach would be just below its band. Only where
    // heater and cup are known; else the rate grows as fast as is safe.
    private static double Boost(RampState state, HeatingPlan plan, HeaterModel model) =>
        plan.Segments.Count > 1 || plan.SlowestCelsiusPerMinute < BoostFromCelsiusPerMinute || model is not { MaxPowerWatts: not null, ThermalCapacityJoulesPerKelvin: not null } ? 1
            : 1 + (BoostShare * Math.Exp(-Math.Max(0, state.Steps - BoostSeconds) / BoostFallSeconds));
}
