using Acquire.Core.Runs;

namespace Acquire.Core.Control;

/// <summary>The limits by which the guard turns the heater off. All are ours; no standard states them.</summary>
public sealed record GuardLimits
{
    // Heat that would warm heater, cup and test portion by this, °C, must show at the thermometer: a plate runs ahead of the oil by some 30 °C, and the figures may be wrong by half.
    private const double UnseenCelsius = 60;

    /// <summary>A sound reading above this turns the heater off, °C.</summary>
    public required double HighestCelsius { get; init; }

    /// <summary>Longest time without a sound reading, s; 0.5 to 10.</summary>
    public double SilentSeconds { get; init; } = 2;

    /// <summary>So many bad readings in a row turn the heater off; 1 to 20.</summary>
    public int BadReadings { get; init; } = 3;

    /// <summary>Time with the heater on within which the reading must rise by <see cref="RiseCelsius"/>, s; 30 to 1800.</summary>
    public double NoRiseSeconds { get; init; } = 240;

    /// <summary>Heat within which the reading must rise by <see cref="RiseCelsius"/>, in seconds of full power, above 0; infinite where heater and cup are not known.</summary>
    public double NoRiseFullPowerSeconds { get; init; } = double.PositiveInfinity;

    /// <summary>From this reading on it need not rise, °C: a block that keeps its temperature does not. Infinite along a ramp.</summary>
    public double HeldFromCelsius { get; init; } = double.PositiveInfinity;

    /// <summary>The heat stored in the metal may go on warming the test portion for so long after the heater was on, s; 30 to 1800.</summary>
    public double CoastSeconds { get; init; } = 240;

    /// <summary>What counts as a rise, °C; 0.5 to 10. Without power: in each of three minutes in a row.</summary>
    public double RiseCelsius { get; init; } = 1;

    /// <summary>So far may the reading lie below its highest while the heater is on, beyond what a cup cools by itself at low power, °C; 1 to 20.</summary>
    public double FallCelsius { get; init; } = 3;

    /// <summary>A cold test portion warms up by itself to this, °C; above it a rise without power is none of its own.</summary>
    public double WarmsByItselfCelsius { get; init; } = 40;

    /// <summary>The limits of a run.</summary>
    /// <param name="plan">How it is heated.</param>
    /// <param name="expectedFlashCelsius">Expected flash point, °C.</param>
    /// <param name="allowanceCelsius">How far above it the reading may go, °C: room for the fire point. 5 to 150; a common open-cup fire point lies 10 to 50 °C above the flash point (common practice, no source).</param>
    /// <param name="testerCelsius">What the tester may ever reach, °C; 40 to 500.</param>
    /// <param name="silentSeconds">Longest time without a sound reading, s.</param>
    /// <param name="model">What is known of the heater: by its power and heat capacity the heat that goes unseen is limited; null where nothing is.</param>
    public static GuardLimits For(HeatingPlan plan, double expectedFlashCelsius, double allowanceCelsius, double testerCelsius, double silentSeconds = 2, HeaterModel? model = null)
    {
        ArgumentNullException.ThrowIfNull(plan);

        // At 5.5 °C/min a cup has risen by 5 °C within a minute of lag and another of ramp; at 1 °C/min a bath needs longer to begin.
        var patience = 180 + (240 / Math.Max(0.5, plan.SlowestCelsiusPerMinute));
        return new GuardLimits
        {
            HighestCelsius = Math.Min(expectedFlashCelsius + allowanceCelsius, testerCelsius),
            SilentSeconds = silentSeconds,
            NoRiseSeconds = patience,
            NoRiseFullPowerSeconds = model is { MaxPowerWatts: { } watts, ThermalCapacityJoulesPerKelvin: { } capacity } ? UnseenCelsius * capacity / watts : double.PositiveInfinity,
        };
    }

    /// <summary>The limits of a run along a ramp. Where nothing is expected, the method's scope ends the search: nobody heats on beyond its upper end and the allowance.</summary>
    /// <param name="plan">The run's plan.</param>
    /// <param name="heating">How it is heated.</param>
    /// <param name="settings">How the tester is driven.</param>
    public static GuardLimits For(RunPlan plan, HeatingPlan heating, DriveSettings settings)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(settings);
        return For(heating, plan.ExpectedFlashCelsius ?? plan.Method.FlashScopeCelsius.To, settings.AllowanceCelsius, settings.HighestCelsius, model: settings.Heater);
    }

    // A block that is kept swings by less than a degree; the heat under way in it is some degrees more. Ours, no source.
    private const double HoldMarginCelsius = 20, HeldWithinCelsius = 3, BlockPatienceSeconds = 420, BlockFallCelsius = 8;

    // Nearer to what the tester may ever reach than this no block is kept: it would be cut, and could not be turned on again, °C.
    private const double BelowHighestCelsius = 6;

    /// <summary>A block is kept only below this, °C.</summary>
    /// <param name="settings">How the tester is driven.</param>
    public static double HighestSetCelsius(DriveSettings settings)
    {
        ArgumentNullException.ThrowIfNull(settings);
        return settings.HighestCelsius - BelowHighestCelsius;
    }

    /// <summary>The limits while a block is kept at a temperature.</summary>
    /// <param name="highestSetCelsius">Highest set temperature of the run so far, °C: a block that is to fall is still as hot as that.</param>
    /// <param name="setCelsius">The set temperature, °C.</param>
    /// <param name="settings">How the tester is driven.</param>
    public static GuardLimits Holding(double highestSetCelsius, double setCelsius, DriveSettings settings)
    {
        ArgumentNullException.ThrowIfNull(settings);
        return new GuardLimits
        {
            HighestCelsius = Math.Min(highestSetCelsius + HoldMarginCelsius, settings.HighestCelsius),
            NoRiseSeconds = BlockPatienceSeconds,
            HeldFromCelsius = setCelsius - HeldWithinCelsius,
            FallCelsius = BlockFallCelsius,
        };
    }

    /// <summary>What is wrong with the limits; empty where nothing is.</summary>
    /// <param name="path">Where they came from, such as `testers[2].guard`.</param>
    public IReadOnlyList<InputError> Check(string path)
    {
        var errors = new List<InputError>();
        HeaterModel.Within(errors, path + ".highestCelsius", HighestCelsius, -30, 500);
        HeaterModel.Within(errors, path + ".silentSeconds", SilentSeconds, 0.5, 10);
        HeaterModel.Within(errors, path + ".badReadings", BadReadings, 1, 20);
        HeaterModel.Within(errors, path + ".noRiseSeconds", NoRiseSeconds, 30, 1800);
        HeaterModel.Within(errors, path + ".noRiseFullPowerSeconds", NoRiseFullPowerSeconds, 0.1, double.PositiveInfinity);
        HeaterModel.Within(errors, path + ".coastSeconds", CoastSeconds, 30, 1800);
        HeaterModel.Within(errors, path + ".riseCelsius", RiseCelsius, 0.5, 10);
        HeaterModel.Within(errors, path + ".fallCelsius", FallCelsius, 1, 20);
        HeaterModel.Within(errors, path + ".warmsByItselfCelsius", WarmsByItselfCelsius, 20, 100);
        return errors;
    }
}
