namespace Acquire.Core.Control;

/// <summary>What is known beforehand of a heater and what it heats. Every figure may be missing or wrong by half: the rest is learnt while heating.</summary>
public sealed record HeaterModel
{
    /// <summary>Nothing is known.</summary>
    public static readonly HeaterModel Unknown = new();

    /// <summary>Power at a command of 1, W; 10 to 10,000; null where unknown.</summary>
    public double? MaxPowerWatts { get; init; }

    /// <summary>Heat capacity of heater, cup and test portion together, J/K; 20 to 50,000; null where unknown.</summary>
    public double? ThermalCapacityJoulesPerKelvin { get; init; }

    /// <summary>Loss to the room when 100 °C above it, W/K; 0.01 to 50; null where unknown. Used only with the heat capacity.</summary>
    public double? LossWattsPerKelvin { get; init; }

    /// <summary>From the command to the first warmth at the cup, s; 0 to 20; null where unknown.</summary>
    public double? DeadTimeSeconds { get; init; }

    /// <summary>Lag of the thermometer, s; 0 to 60; null where unknown.</summary>
    public double? LagSeconds { get; init; }

    /// <summary>Temperature of the room, °C; -10 to 50.</summary>
    public double AmbientCelsius { get; init; } = 23;

    /// <summary>The largest command the controller may give; 0.05 to 1.</summary>
    public double LargestFraction { get; init; } = 1;

    /// <summary>What is wrong with the figures; empty where nothing is.</summary>
    /// <param name="path">Where they came from, such as `testers[2].heater`.</param>
    public IReadOnlyList<InputError> Check(string path)
    {
        var errors = new List<InputError>();
        Within(errors, path + ".maxPowerWatts", MaxPowerWatts, 10, 10_000, "W");
        Within(errors, path + ".thermalCapacityJoulesPerKelvin", ThermalCapacityJoulesPerKelvin, 20, 50_000, "J/K");
        Within(errors, path + ".lossWattsPerKelvin", LossWattsPerKelvin, 0.01, 50, "W/K");
        Within(errors, path + ".deadTimeSeconds", DeadTimeSeconds, 0, 20, "s");
        Within(errors, path + ".lagSeconds", LagSeconds, 0, 60, "s");
        Within(errors, path + ".ambientCelsius", AmbientCelsius, -10, 50, "°C");
        Within(errors, path + ".largestFraction", LargestFraction, 0.05, 1, "of the heater's most");
        return errors;
    }

    internal static void Within(List<InputError> errors, string path, double? value, double least, double most, string? unit = null)
    {
        if (value is { } given && !(given >= least && given <= most))
        {
            errors.Add(new(path, FormattableString.Invariant($"{given} is not within {least} to {most}{(unit is null ? "" : " " + unit)}")));
        }
    }
}
