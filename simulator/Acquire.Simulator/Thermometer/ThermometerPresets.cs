using System.Diagnostics.CodeAnalysis;
using Acquire.Core.Thermometry;

namespace Acquire.Simulator;

/// <summary>A few usual thermometers by name, each with an invented certificate that is in force on the day it is asked for.</summary>
public static class ThermometerPresets
{
    /// <summary>The names: type K in µV with a measured junction, a 100 ohm platinum sensor in ohm, a transmitter of 0 to 400 °C.</summary>
    public static IReadOnlyList<string> Names { get; } = ["k-uv", "pt100-ohm", "4-20-ma"];

    /// <summary>The thermometer of a name.</summary>
    /// <param name="name">One of <see cref="Names"/>.</param>
    /// <param name="day">The day on which its certificate is four months old and has eight to go.</param>
    /// <param name="chain">The thermometer; null where there is none of that name.</param>
    public static bool TryFind(string name, DateOnly day, [NotNullWhen(true)] out ThermometerChain? chain)
    {
        chain = name switch
        {
            "k-uv" => MicrovoltsOfTypeK(day),
            "pt100-ohm" => OhmsOfPlatinum(day),
            "4-20-ma" => Milliamperes(day),
            _ => null,
        };
        return chain is not null;
    }

    /// <summary>Type K in µV; its reference junction is measured.</summary>
    /// <param name="day">The day on which its certificate is in force.</param>
    public static ThermometerChain MicrovoltsOfTypeK(DateOnly day) => new()
    {
        Unit = ThermometerUnit.Microvolt,
        Sensor = new ThermocoupleSensor(ThermocoupleType.K, ReferenceJunctionKind.Measured, null),
        Calibration = Certificate("DEMO-K-0417", day, [new(25, -0.1, 0.3), new(100, -0.4, 0.3), new(200, -0.9, 0.4), new(260, -1.1, 0.4), new(350, -1.3, 0.5)]),
        Limits = new() { ColdestCelsius = -20, HottestCelsius = 600, ConverterLow = -80_000, ConverterHigh = 80_000 },
    };

    /// <summary>A 100 ohm platinum sensor on three wires, of which one is a little longer, in ohm.</summary>
    /// <param name="day">The day on which its certificate is in force.</param>
    public static ThermometerChain OhmsOfPlatinum(DateOnly day) => new()
    {
        Unit = ThermometerUnit.Ohm,
        Sensor = new PlatinumSensor(100, 3, 0.04, PlatinumTolerance.A),
        Calibration = Certificate("DEMO-P-0233", day, [new(0, 0.02, 0.05), new(100, 0.08, 0.05), new(200, 0.17, 0.08), new(300, 0.24, 0.1), new(400, 0.33, 0.15)]) with { Interpolation = CalibrationInterpolation.MonotoneCubic },
        Limits = new() { ColdestCelsius = -20, HottestCelsius = 600, ConverterHigh = 400 },
    };

    /// <summary>A transmitter of 4 to 20 mA for 0 to 400 °C.</summary>
    /// <param name="day">The day on which its certificate is in force.</param>
    public static ThermometerChain Milliamperes(DateOnly day) => new()
    {
        Unit = ThermometerUnit.Milliampere,
        Sensor = new TransmitterSensor(TransmitterSignal.FourToTwentyMilliampere, 0, 400),
        Calibration = Certificate("DEMO-T-0108", day, [new(0, 0.3, 0.3), new(150, 0.1, 0.3), new(250, -0.2, 0.4), new(400, -0.6, 0.5)]),
        Limits = new() { ConverterHigh = 24 },
    };

    private static CalibrationCertificate Certificate(string number, DateOnly day, CalibrationPoint[] points)
    {
        var calibrated = day.AddMonths(-4);
        return new() { Number = number, CalibratedOn = calibrated, DueOn = calibrated.AddYears(1), Points = points };
    }
}
