using Acquire.Core.Thermometry;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Thermometry;

public sealed class TransmitterTests
{
    private static readonly TransmitterSensor Current = new(TransmitterSignal.FourToTwentyMilliampere, 0, 400);
    private static readonly TransmitterSensor Voltage = new(TransmitterSignal.ZeroToTenVolt, -50, 450);

    [Theory]
    // NAMUR NE 43: 3.8 to 20.5 mA measure; 3.6 mA and less, 21 mA and more are failures.
    [InlineData(4, TransmitterState.Measuring, 0)]
    [InlineData(12, TransmitterState.Measuring, 200)]
    [InlineData(20, TransmitterState.Measuring, 400)]
    [InlineData(3.8, TransmitterState.Measuring, -5)]
    [InlineData(20.5, TransmitterState.Measuring, 412.5)]
    [InlineData(3.79, TransmitterState.OutOfRange, double.NaN)]
    [InlineData(3.61, TransmitterState.OutOfRange, double.NaN)]
    [InlineData(20.51, TransmitterState.OutOfRange, double.NaN)]
    [InlineData(20.99, TransmitterState.OutOfRange, double.NaN)]
    [InlineData(3.6, TransmitterState.FailureLow, double.NaN)]
    [InlineData(0.5, TransmitterState.FailureLow, double.NaN)]
    [InlineData(21, TransmitterState.FailureHigh, double.NaN)]
    [InlineData(24, TransmitterState.FailureHigh, double.NaN)]
    [InlineData(0.49, TransmitterState.LoopBroken, double.NaN)]
    [InlineData(0, TransmitterState.LoopBroken, double.NaN)]
    [InlineData(-0.02, TransmitterState.LoopBroken, double.NaN)]
    [InlineData(-0.5, TransmitterState.Reversed, double.NaN)]
    [InlineData(-12, TransmitterState.Reversed, double.NaN)]
    [InlineData(double.NaN, TransmitterState.OutOfRange, double.NaN)]
    [InlineData(double.PositiveInfinity, TransmitterState.FailureHigh, double.NaN)]
    public void A_current_is_a_temperature_or_says_what_failed(double milliampere, TransmitterState state, double celsius)
    {
        var reading = Transmitter.Read(milliampere, Current);

        Assert.Equal(state, reading.State);
        Assert.Equal(celsius, reading.Celsius, tolerance: 1e-9);
    }

    [Theory]
    [InlineData(0, TransmitterState.Measuring, -50)]
    [InlineData(5, TransmitterState.Measuring, 200)]
    [InlineData(10, TransmitterState.Measuring, 450)]
    [InlineData(-0.25, TransmitterState.Measuring, -62.5)]
    [InlineData(10.25, TransmitterState.Measuring, 462.5)]
    [InlineData(10.26, TransmitterState.OutOfRange, double.NaN)]
    [InlineData(-0.26, TransmitterState.Reversed, double.NaN)]
    [InlineData(double.NaN, TransmitterState.OutOfRange, double.NaN)]
    public void A_voltage_is_a_temperature_or_says_what_failed(double volt, TransmitterState state, double celsius)
    {
        var reading = Transmitter.Read(volt, Voltage);

        Assert.Equal(state, reading.State);
        Assert.Equal(celsius, reading.Celsius, tolerance: 1e-9);
    }

    [Fact]
    public void Temperature_to_signal_and_back_loses_nothing()
    {
        Gen.Select(Gen.Double[0, 1], Gen.Double[-200, 400], Gen.Double[1, 1200], Gen.Bool).Sample((share, low, span, current) =>
        {
            var sensor = new TransmitterSensor(current ? TransmitterSignal.FourToTwentyMilliampere : TransmitterSignal.ZeroToTenVolt, low, low + span);
            var celsius = low + (share * span);
            var reading = Transmitter.Read(Transmitter.Signal(celsius, sensor), sensor);
            Assert.Equal(TransmitterState.Measuring, reading.State);
            Assert.Equal(celsius, reading.Celsius, tolerance: 1e-9);
        });
    }
}
