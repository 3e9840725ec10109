namespace Acquire.Core.Control;

/// <summary>Brings a block to a set temperature and keeps it there: from readings of the thermometer to the heater's command.</summary>
/// <remarks>
/// The same learning models and the same predictive functional control as <see cref="RampController"/>: each second the command is
/// the one by which the model arrives, a little later, at the rate that closes what is left of the distance in so many seconds. So
/// the block comes in along a falling exponential, and what the model got wrong is measured and carried on, which leaves no lasting
/// error. There is no sum of errors that could wind up: the models are fed with what the heater was really given. A new set
/// temperature changes only the distance. Where the block is too warm it waits: it cannot cool. Pure: time comes with the inputs.
/// It never says whether the heater may be on: that is the matter of <see cref="HeaterGuard"/>.
/// </remarks>
public static class HoldController
{
    // Fastest approach, °C/min: above it the heat under way in a heavy block is more than the tolerance. Chosen on simulated blocks.
    private const double FastestPerMinute = 12;

    // The rate aimed at grows from this part of it, over these seconds: a block that is lighter than thought must not run away.
    private const double SoftShare = 0.2, SoftSeconds = 120;

    // The distance is closed in so many horizons of the model, and no faster than in so many seconds.
    private const double HorizonShare = 0.8, ShortestSeconds = 40;

    // The cold of a portion has come through, and the filtered rate forgotten it, after this time, s.
    private const int DisturbedSeconds = 45;

    // Errors are weighed as at this rate, °C/min: a block that is kept has none of its own.
    private const double ScalePerMinute = 2;

    /// <summary>A heating about to begin.</summary>
    /// <param name="model">What is known of the heater; its figures have been checked.</param>
    public static RampState Begin(HeaterModel model) => HeatingSecond.Begin(model);

    /// <summary>A cold portion was charged: what the thermometer does now is not the heater's doing. Only the distance is made up for, until it is over.</summary>
    /// <param name="state">The heating; moved on by the call.</param>
    public static void Charged(RampState state)
    {
        ArgumentNullException.ThrowIfNull(state);
        state.Disturbed = DisturbedSeconds;
    }

    /// <summary>Takes a sound reading; returns the command, 0 to 1. A reading whose time does not go forward changes nothing.</summary>
    /// <param name="state">The heating; moved on by the call.</param>
    /// <param name="setCelsius">The set temperature, °C; may change from call to call. Null while there is none: then nothing heats.</param>
    /// <param name="model">The same model for all calls.</param>
    /// <param name="seconds">Time of the reading, s.</param>
    /// <param name="celsius">Reading, °C; bad ones are not given here.</param>
    /// <param name="heaterAllowed">Whether the heater has been on since the last input as commanded; false: it was and stays off.</param>
    /// <exception cref="ArgumentOutOfRangeException">Time, reading or set temperature is not finite, or the reading no temperature of a block.</exception>
    public static double Take(RampState state, double? setCelsius, HeaterModel model, double seconds, double celsius, bool heaterAllowed)
    {
        ArgumentNullException.ThrowIfNull(model);
        HeatingSecond.Require(celsius);
        if (setCelsius is { } given && !double.IsFinite(given))
        {
            throw new ArgumentOutOfRangeException(nameof(setCelsius), $"{given} °C is no set temperature.");
        }

        if (!HeatingSecond.Pass(state, seconds, heaterAllowed, out var over))
        {
            return state.Command;
        }

        for (; over > 0 && HeatingSecond.IsBegun(state); over--)
        {
            HeatingSecond.Read(state);
            HeatingSecond.Learn(state, model, ScalePerMinute);
            var ahead = setCelsius is { } set ? Ahead(state, set, model) : (WantedHeating?)null;
            state.TargetCelsiusPerMinute = ahead?.RatePerSecond * 60 ?? 0;
            HeatingSecond.Give(state, model, ahead is { } wanted ? state.Candidates[state.Chosen].Command(wanted) : 0, heaterAllowed && setCelsius is not null);
        }

        HeatingSecond.Add(state, celsius);
        return state.Command;
    }

    // The rate w at the horizon h that closes, in T seconds, what is then left: w = (set − there) / T, there = now + h (r + w) / 2.
    private static WantedHeating Ahead(RampState state, double set, HeaterModel model)
    {
        var chosen = state.Candidates[state.Chosen];
        var rate = state.Disturbed > 0 ? 0 : state.Temperature.RisePerSecond;
        var ahead = chosen.DeadSeconds + chosen.HorizonSeconds;
        var closing = Math.Max(ShortestSeconds, HorizonShare * ahead);
        var fastest = FastestPerMinute / 60 * Math.Min(1, SoftShare + (state.Steps / SoftSeconds));
        var wanted = Math.Clamp((set - state.Celsius - (ahead * rate / 2)) / (closing + (ahead / 2)), -fastest, fastest);
        var mean = (rate + wanted) / 2;
        var there = state.Celsius + (ahead * mean);
        var excess = there - model.AmbientCelsius;
        var rise = (ahead * mean) + (2 * RateFilter.LagSeconds * rate);
        return new(wanted, chosen.HorizonSeconds, LossShape.At(excess), LossShape.GrowthAt(excess), rise, mean);
    }
}
