namespace Acquire.Service.Live;

/// <summary>One fifth of a second of a run's curve.</summary>
/// <param name="TimeSeconds">Middle of the fifth, s on the run's axis.</param>
/// <param name="TemperatureCelsius">Mean temperature, °C to four decimals; null where there was no thermometer reading.</param>
/// <param name="DetectorLow">Lowest detector value, in its own unit; null where there was none.</param>
/// <param name="DetectorHigh">Highest detector value; null where there was none.</param>
/// <param name="Flame">Whether the test flame was over the cup at any time in the fifth.</param>
public readonly record struct CurvePoint(double TimeSeconds, double? TemperatureCelsius, double? DetectorLow, double? DetectorHigh, bool Flame)
{
    /// <summary>Lowest value of the second detector, in its own unit; null where there was none.</summary>
    public double? SecondDetectorLow { get; init; }

    /// <summary>Highest value of the second detector; null where there was none.</summary>
    public double? SecondDetectorHigh { get; init; }
}
