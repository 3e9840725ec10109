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
    // The rate aimed at grows from this part of it, over these seconds: a cup that is lighter than thought must not run away.
    private const double SoftShare = 0.3, SoftSeconds = 100;

    // Where one fast rate holds from the start it is aimed at so much higher for so long, and then falls off. Slow rates have the time.
    private const double BoostShare = 0.07, BoostSeconds = 150, BoostFallSeconds = 60, BoostFromCelsiusPerMinute = 4;

    /// <summary>A heating about to begin.</summary>
    /// <param name="model">What is known of the heater; its figures have been checked.</param>
    public static RampState Begin(HeaterModel model) => HeatingSecond.Begin(model);

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
        HeatingSecond.Require(celsius);
        if (Advance(state, plan, model, seconds, heaterAllowed))
        {
            HeatingSecond.Add(state, celsius);
        }

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
        if (!HeatingSecond.Pass(state, seconds, heaterAllowed, out var over))
        {
            return false;
        }

        for (; over > 0 && HeatingSecond.IsBegun(state); over--)
        {
            HeatingSecond.Read(state);
            state.TargetCelsiusPerMinute = plan.TargetAt(state.Celsius);
            HeatingSecond.Learn(state, model, state.TargetCelsiusPerMinute);
            HeatingSecond.Give(state, model, state.Candidates[state.Chosen].Command(Ahead(state, plan, model)), heaterAllowed);
        }

        return true;
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
