using Acquire.Core.Runs;

namespace Acquire.Core.Control;

/// <summary>What a driver needs to know in an equilibrium run: where the block is to be kept, the limits that follow, and the one application of each portion.</summary>
internal sealed class Holding
{
    private readonly RunPlan _plan;
    private readonly DriveSettings _settings;
    private double _highestSet;

    public Holding(RunPlan plan, DriveSettings settings)
    {
        (_plan, _settings) = (plan, settings);
        _highestSet = plan.Portions.FirstSetCelsius;
        Flame = new(plan.Portions, settings.ReactionSeconds);
        Limits = GuardLimits.Holding(_highestSet, _highestSet, settings);
    }

    /// <summary>Where the block is to be kept, °C; null before the first reading, and where it must not be.</summary>
    public double? SetCelsius { get; private set; }

    /// <summary>The guard's limits for it.</summary>
    public GuardLimits Limits { get; private set; }

    /// <summary>The flame.</summary>
    public PortionFlame Flame { get; }

    /// <summary>Why the wanted temperature is not heated to; null where it is.</summary>
    public string? TooHigh { get; private set; }

    /// <summary>Takes what the supervisor stated.</summary>
    public void Note(RunOutput output)
    {
        Flame.Note(output);
        if (output is TemperatureSet set)
        {
            Set(set.SetCelsius);
        }
    }

    private void Set(double celsius)
    {
        // The search keeps to the scope by itself; nothing is heated on its word alone. One temperature that is tested may lie a step beside it.
        var range = _plan.Portions.RangeCelsius;
        var most = Math.Max(range.To, _plan.Portions.FirstSetCelsius);
        TooHigh = !(celsius <= most) ? $"{Text.Celsius(celsius)} is wanted; the method ends at {Text.Celsius(most)}"
            : !(celsius < GuardLimits.HighestSetCelsius(_settings)) ? $"{Text.Celsius(celsius)} is wanted; this tester may reach {Text.Celsius(_settings.HighestCelsius)}, and its block is kept only below {Text.Celsius(GuardLimits.HighestSetCelsius(_settings))}"
            : null;
        SetCelsius = TooHigh is null ? celsius : null;
        _highestSet = TooHigh is null ? Math.Max(_highestSet, celsius) : _highestSet;
        Limits = GuardLimits.Holding(_highestSet, TooHigh is null ? celsius : _highestSet, _settings);
    }
}
