using Acquire.Core.Thermometry;

namespace Acquire.Simulator;

/// <summary>The tester's analogue-to-digital converter: its noise, its steps and its ends, in the unit in which it sends.</summary>
internal sealed class Converter
{
    private readonly ThermometerUnit unit;
    private readonly double noise;
    private readonly double step;
    private readonly double low;
    private readonly double high;
    private readonly SimulatorRandom random;

    /// <param name="thermometer">Its chain; noise and step of a display of temperatures.</param>
    /// <param name="output">The ends, in base units.</param>
    /// <param name="random">Draws the noise.</param>
    public Converter(SimulatedThermometer thermometer, SensorOutput output, SimulatorRandom random)
    {
        this.random = random;
        unit = thermometer.Chain.Unit;
        (noise, step) = Resolution(thermometer);
        low = ThermometerUnits.FromBase(output.LowEnd, unit);
        high = ThermometerUnits.FromBase(output.FullScale, unit);
    }

    /// <summary>A value as it is sent.</summary>
    /// <param name="baseValue">The value in the base unit of its quantity.</param>
    public double Convert(double baseValue)
    {
        var value = ThermometerUnits.FromBase(baseValue, unit) + (noise * random.NextGaussian());
        return Math.Clamp(RowRenderer.InSteps(value, step), low, high);
    }

    // What a good data logger resolves: common practice, no source. A microvolt of type K is 0.025 °C, a milliohm of a
    // 100 ohm platinum sensor 0.003 °C, half a microampere of 4 to 20 mA over 400 °C 0.013 °C.
    private static (double Noise, double Step) Resolution(SimulatedThermometer thermometer) => thermometer.Chain.Unit switch
    {
        ThermometerUnit.Fahrenheit => (1.8 * thermometer.NoiseCelsius, thermometer.StepCelsius),
        ThermometerUnit.Microvolt => (0.5, 1),
        ThermometerUnit.Millivolt when thermometer.Chain.Sensor is TransmitterSensor => (0.1, 0.2),
        ThermometerUnit.Millivolt => (0.0005, 0.001),
        ThermometerUnit.Volt when thermometer.Chain.Sensor is TransmitterSensor => (0.0001, 0.0002),
        ThermometerUnit.Volt => (0.5e-6, 1e-6),
        ThermometerUnit.Ohm => (0.0005, 0.001),
        ThermometerUnit.Kiloohm => (0.5e-6, 1e-6),
        ThermometerUnit.Milliampere => (0.00025, 0.0005),
        _ => (thermometer.NoiseCelsius, thermometer.StepCelsius),
    };
}
