using Acquire.Core.Methods;

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
        var ramp = options.Method.Ramp;
        var fast = ramp.FastHeatingCelsiusPerMinute;
        expectedCelsius = options.Expected;
        excursion = options.Excursion;
        fastPerSecond = (fast.To - ((fast.To - fast.From) / 6)) / 60;
        controlledPerSecond = (options.ControlledRateCelsiusPerMinute ?? NominalPerMinute(options.Method)) / 60;

        // Where the fast band allows slow rates too, easing early leaves the stored heat of the plate time to pass into the oil.
        var earlier = fast.From <= controlledPerSecond * 60 ? 19 : 0;
        var from = ramp.EaseBelowExpectedCelsius + earlier;
        var to = Math.Max(from - 20, Math.Min(ramp.ControlledFromBelowExpectedCelsius + 6, from - 1));
        easeFromCelsius = expectedCelsius - from;
        easeToCelsius = expectedCelsius - to;
    }

    /// <summary>Middle of the method's controlled band, °C/min.</summary>
    public static double NominalPerMinute(MethodDefinition method) =>
        (method.Ramp.ControlledHeatingCelsiusPerMinute.From + method.Ramp.ControlledHeatingCelsiusPerMinute.To) / 2;

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
