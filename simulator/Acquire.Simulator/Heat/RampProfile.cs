namespace Acquire.Simulator;

/// <summary>The heating rate that the tester aims at, by temperature: fast, smoothly eased, controlled; all from the method's bands.</summary>
internal sealed class RampProfile
{
    private readonly double fastPerSecond;
    private readonly double controlledPerSecond;
    private readonly double easeFromCelsius;
    private readonly double easeToCelsius;
    private readonly HeatingExcursion? excursion;
    private readonly double expectedCelsius;

    public RampProfile(SimulatorOptions options)
    {
        var ramp = options.Rules.Ramp;
        expectedCelsius = options.Expected;
        excursion = options.Excursion;
        controlledPerSecond = (options.ControlledRateCelsiusPerMinute ?? NominalPerMinute(options)) / 60;
        if (ramp is not { FastHeatingCelsiusPerMinute: { } fast, EaseBelowExpectedCelsius: { } ease, ControlledFromBelowExpectedCelsius: { } controlled })
        {
            // One rate from start to end: nothing to ease.
            fastPerSecond = controlledPerSecond;
            (easeFromCelsius, easeToCelsius) = (expectedCelsius - 1, expectedCelsius);
            return;
        }

        fastPerSecond = (fast.To - ((fast.To - fast.From) / 6)) / 60;

        // Where the fast band allows slow rates too, easing early leaves the stored heat of the plate time to pass into the oil.
        var earlier = fast.From <= controlledPerSecond * 60 ? 19 : 0;
        var from = ease + earlier;
        var to = Math.Max(from - 20, Math.Min(controlled + 6, from - 1));
        easeFromCelsius = expectedCelsius - from;
        easeToCelsius = expectedCelsius - to;
    }

    /// <summary>Middle of the method's controlled band, °C/min.</summary>
    public static double NominalPerMinute(SimulatorOptions options)
    {
        var band = options.Rules.Ramp.ControlledHeatingCelsiusPerMinute;
        return (band.From + band.To) / 2;
    }

    /// <summary>Rate to aim at, °C/s.</summary>
    public double RatePerSecond(double celsius)
    {
        var below = expectedCelsius - celsius;
        if (excursion is not null && below <= excursion.FromBelowExpectedCelsius && below >= excursion.ToBelowExpectedCelsius)
        {
            return excursion.RateCelsiusPerMinute / 60;
        }

        var along = Math.Clamp((celsius - easeFromCelsius) / (easeToCelsius - easeFromCelsius), 0, 1);
        var smooth = along * along * (3 - (2 * along));
        return fastPerSecond + ((controlledPerSecond - fastPerSecond) * smooth);
    }
}
