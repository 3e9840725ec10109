namespace Acquire.Simulator;

/// <summary>A metal block that its tester holds at a temperature, and the cup in it, which a fresh portion cools a little.</summary>
/// <remarks>All figures assumed: heats 12 °C/min, cools 5 °C/min (with a fan, or by a Peltier cooler below room temperature), settles within some ten seconds.</remarks>
internal sealed class BlockModel(double startCelsius, double thermometerLagSeconds)
{
    private const double HeatPerSecond = 12.0 / 60, CoolPerSecond = 5.0 / 60, SettleSeconds = 12, PortionSeconds = 8;

    // 2 mL of a cold liquid in some 100 g of metal.
    private const double PortionDipCelsius = 0.15;

    private double blockCelsius = startCelsius;
    private double dipCelsius;

    /// <summary>What the thermometer in the cup shows, °C.</summary>
    public double ThermometerCelsius { get; private set; } = startCelsius;

    /// <summary>A portion was charged.</summary>
    public void Charge() => dipCelsius = PortionDipCelsius;

    /// <summary>One step towards the set temperature.</summary>
    public void Step(double setCelsius, double seconds)
    {
        blockCelsius += seconds * Math.Clamp((setCelsius - blockCelsius) / SettleSeconds, -CoolPerSecond, HeatPerSecond);
        dipCelsius -= dipCelsius * seconds / PortionSeconds;
        ThermometerCelsius += (blockCelsius - dipCelsius - ThermometerCelsius) * seconds / thermometerLagSeconds;
    }
}
