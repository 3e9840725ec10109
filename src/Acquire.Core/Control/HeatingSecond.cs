namespace Acquire.Core.Control;

/// <summary>What a second of heating is for any controller: its readings averaged, the candidates taught, the command limited and handed on.</summary>
/// <remarks>The candidates are fed with what the heater was really given, so neither a limit nor a cut-off winds anything up.</remarks>
internal static class HeatingSecond
{
    // The command changes by no more than this in a second.
    private const double SlewPerSecond = 0.1;

    // After this long without a step, s, the past says nothing about the heat under way.
    private const double LongestGapSeconds = 30;

    /// <summary>A heating about to begin.</summary>
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

    /// <summary>Throws where a reading is none of a cup.</summary>
    public static void Require(double celsius)
    {
        if (!double.IsFinite(celsius) || Math.Abs(celsius) > 2000)
        {
            throw new ArgumentOutOfRangeException(nameof(celsius), $"{celsius} °C is no temperature of a cup.");
        }
    }

    /// <summary>Moves the time on. False where it does not go forward; then nothing is to be done.</summary>
    /// <param name="state">The heating.</param>
    /// <param name="seconds">Time, s.</param>
    /// <param name="heaterAllowed">Whether the heater has been on since the last input as commanded.</param>
    /// <param name="over">Whole seconds that are over, for each of which there is a step to be made.</param>
    /// <exception cref="ArgumentOutOfRangeException">The time is no time of a run.</exception>
    public static bool Pass(RampState state, double seconds, bool heaterAllowed, out long over)
    {
        ArgumentNullException.ThrowIfNull(state);
        over = 0;
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
        over = second - (state.Second ?? second);
        state.Second = second;
        return true;
    }

    /// <summary>Whether there was ever a reading to control by.</summary>
    public static bool IsBegun(RampState state) => state.Count > 0 || state.Steps > 0;

    /// <summary>A reading of the second under way.</summary>
    public static void Add(RampState state, double celsius)
    {
        state.Sum += celsius;
        state.Count++;
    }

    /// <summary>A second is over: the mean of its readings is what the thermometer read in it; without any, what was read before goes on at its rate.</summary>
    public static void Read(RampState state)
    {
        state.Celsius = state.Count > 0 ? state.Sum / state.Count : state.Celsius + state.Temperature.RisePerSecond;
        state.Sum = 0;
        state.Count = 0;
        state.Steps++;
    }

    /// <summary>The candidates learn from it, unless something other than the heater and the room was at work.</summary>
    /// <param name="state">The heating.</param>
    /// <param name="model">What is known of the heater.</param>
    /// <param name="scalePerMinute">The rate by which errors are weighed, °C/min; above 0.</param>
    public static void Learn(RampState state, HeaterModel model, double scalePerMinute)
    {
        var excess = state.Celsius - model.AmbientCelsius;
        state.Temperature.Add(state.Celsius);
        state.Shape.Add(LossShape.At(excess));
        var seen = new SeenHeating(state.Temperature.RisePerSecond, scalePerMinute / 60, state.Shape.Value, LossShape.GrowthAt(excess));
        foreach (var candidate in state.Candidates)
        {
            candidate.Heat(state.Commands[0], state.Commands[candidate.DeadSeconds]);
            if (state.Disturbed == 0)
            {
                candidate.Learn(seen);
            }
        }

        state.Disturbed = Math.Max(0, state.Disturbed - 1);
        state.Chosen = LagBank.Choose(state.Candidates, state.Chosen);
    }

    /// <summary>Cuts the wanted command to what the heater may be given, and gives it.</summary>
    public static void Give(RampState state, HeaterModel model, double wanted, bool heaterAllowed)
    {
        var near = Math.Clamp(wanted, state.Command - SlewPerSecond, state.Command + SlewPerSecond);
        state.Command = heaterAllowed && double.IsFinite(near) ? Math.Clamp(near, 0, model.LargestFraction) : 0;
        Array.Copy(state.Commands, 0, state.Commands, 1, RampState.Remembered - 1);
        state.Commands[0] = state.Command;
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
}
