namespace Acquire.Core.Thermometry;

/// <summary>Temperature from the signal of a linear transmitter, with the signal levels that are no temperature told apart.</summary>
public static class Transmitter
{
    // NAMUR recommendation NE 43 as several trade texts quote it: 3.8 to 20.5 mA carry a measurement, 3.6 mA and less or
    // 21 mA and more a failure. The recommendation's own text was not at hand.
    private const double FailureLowMilliampere = 3.6;
    private const double MeasuringFromMilliampere = 3.8;
    private const double MeasuringToMilliampere = 20.5;
    private const double FailureHighMilliampere = 21;

    // A transmitter cannot live on less than some milliampere; a converter's own zero error is far smaller. Common practice, no source.
    private const double NoCurrentMilliampere = 0.5;

    // 2.5 % of the span beyond either end: common practice, no source.
    private const double MeasuringFromVolt = -0.25;
    private const double MeasuringToVolt = 10.25;

    /// <summary>What a signal means.</summary>
    /// <param name="signal">mA for 4 to 20 mA, V for 0 to 10 V.</param>
    /// <param name="sensor">Which signal it is, and the temperatures at its ends.</param>
    /// <remarks>A broken wire to a 0 to 10 V input reads near 0 V on many inputs, which cannot be told from the low end of the range.</remarks>
    public static TransmitterReading Read(double signal, TransmitterSensor sensor)
    {
        ArgumentNullException.ThrowIfNull(sensor);
        var current = sensor.Signal == TransmitterSignal.FourToTwentyMilliampere;
        var state = current ? StateOfCurrent(signal) : StateOfVoltage(signal);
        var share = current ? (signal - 4) / 16 : signal / 10;
        var celsius = ((1 - share) * sensor.LowCelsius) + (share * sensor.HighCelsius);
        return new(state, state == TransmitterState.Measuring ? celsius : double.NaN);
    }

    /// <summary>The signal that stands for a temperature: mA for 4 to 20 mA, V for 0 to 10 V.</summary>
    /// <param name="celsius">Temperature, °C.</param>
    /// <param name="sensor">Which signal it is, and the temperatures at its ends.</param>
    public static double Signal(double celsius, TransmitterSensor sensor)
    {
        ArgumentNullException.ThrowIfNull(sensor);
        var share = (celsius - sensor.LowCelsius) / (sensor.HighCelsius - sensor.LowCelsius);
        return sensor.Signal == TransmitterSignal.FourToTwentyMilliampere ? 4 + (16 * share) : 10 * share;
    }

    // The order of the cases matters; a signal that is not a number falls to the last.
    private static TransmitterState StateOfCurrent(double milliampere) => milliampere switch
    {
        <= -NoCurrentMilliampere => TransmitterState.Reversed,
        < NoCurrentMilliampere => TransmitterState.LoopBroken,
        <= FailureLowMilliampere => TransmitterState.FailureLow,
        >= FailureHighMilliampere => TransmitterState.FailureHigh,
        >= MeasuringFromMilliampere and <= MeasuringToMilliampere => TransmitterState.Measuring,
        _ => TransmitterState.OutOfRange,
    };

    private static TransmitterState StateOfVoltage(double volt) => volt switch
    {
        < MeasuringFromVolt => TransmitterState.Reversed,
        >= MeasuringFromVolt and <= MeasuringToVolt => TransmitterState.Measuring,
        _ => TransmitterState.OutOfRange,
    };
}
