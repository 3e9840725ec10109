namespace Acquire.Simulator;

/// <summary>The terminals of a thermocouple in the tester's case: at room temperature at first, slowly warmed by the hot plate beside them.</summary>
internal sealed class ReferenceJunction
{
    // A plastic case a hand's breadth from the plate: assumed, no source.
    private const double SettlingSeconds = 600;

    // Standard deviation of the error of the junction's own sensor, °C.
    private const double SensorErrorCelsius = 0.02;

    private readonly double heaterOnSeconds;
    private readonly double heaterOffSeconds;
    private readonly double startCelsius;
    private readonly double restCelsius;
    private readonly double heatedCelsius;
    private readonly double sensorErrorCelsius;

    public ReferenceJunction(SimulatorOptions options, SimulatedTruth truth)
    {
        var random = new SimulatorRandom(options.Seed, RandomPurpose.Junction);
        heaterOnSeconds = truth.HeaterOnSeconds;
        heaterOffSeconds = truth.HeaterOffSeconds;
        restCelsius = options.AmbientCelsius + random.Between(-0.3, 0.3);
        startCelsius = options.JunctionStartCelsius ?? restCelsius;

        // 2 to 4 °C above rest when the heater goes off, however long that takes.
        var heating = Math.Max(1, heaterOffSeconds - heaterOnSeconds);
        heatedCelsius = restCelsius + (random.Between(2, 4) / (1 - Math.Exp(-heating / SettlingSeconds)));
        sensorErrorCelsius = SensorErrorCelsius * Math.Clamp(random.NextGaussian(), -2, 2);
    }

    /// <summary>Its temperature, °C.</summary>
    public double CelsiusAt(double seconds)
    {
        var celsius = Settle(startCelsius, restCelsius, Math.Min(seconds, heaterOnSeconds));
        if (seconds > heaterOnSeconds)
        {
            celsius = Settle(celsius, heatedCelsius, Math.Min(seconds, heaterOffSeconds) - heaterOnSeconds);
        }

        return seconds > heaterOffSeconds ? Settle(celsius, restCelsius, seconds - heaterOffSeconds) : celsius;
    }

    /// <summary>Its temperature as the tester's own sensor has it, to 0.01 °C.</summary>
    public double SensedAt(double seconds) => Math.Round(CelsiusAt(seconds) + sensorErrorCelsius, 2);

    private static double Settle(double from, double to, double seconds) => to + ((from - to) * Math.Exp(-seconds / SettlingSeconds));
}
