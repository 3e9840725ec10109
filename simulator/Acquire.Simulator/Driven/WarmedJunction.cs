namespace Acquire.Simulator;

/// <summary>The terminals of a driven tester's thermocouple: they follow the room, and some of what is heated beside them.</summary>
internal sealed class WarmedJunction
{
    // As in the tester that plays a script: a plastic case a hand's breadth from the plate, its own sensor wrong by 0.02 °C; assumed.
    private const double SettlingSeconds = 600, SensorErrorCelsius = 0.02;

    private readonly double restCelsius;
    private readonly double share;
    private readonly double ambientCelsius;
    private readonly double sensorErrorCelsius;

    public WarmedJunction(SimulatorOptions options)
    {
        var random = new SimulatorRandom(options.Seed, RandomPurpose.Junction);
        ambientCelsius = options.AmbientCelsius;
        restCelsius = ambientCelsius + random.Between(-0.3, 0.3);
        share = random.Between(2, 4) / 250;
        sensorErrorCelsius = SensorErrorCelsius * Math.Clamp(random.NextGaussian(), -2, 2);
        Celsius = options.JunctionStartCelsius ?? restCelsius;
    }

    /// <summary>Its temperature, °C.</summary>
    public double Celsius { get; private set; }

    /// <summary>Its temperature as the tester's own sensor has it, to 0.01 °C.</summary>
    public double SensedCelsius => Math.Round(Celsius + sensorErrorCelsius, 2);

    /// <summary>One step of time beside a body of this temperature.</summary>
    public void Step(double bodyCelsius, double seconds) =>
        Celsius += (restCelsius + (share * Math.Max(0, bodyCelsius - ambientCelsius)) - Celsius) * seconds / SettlingSeconds;
}
