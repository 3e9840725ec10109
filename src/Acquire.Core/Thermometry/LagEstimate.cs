namespace Acquire.Core.Thermometry;

/// <summary>Time constant of a sensor, found from a record.</summary>
/// <param name="TimeConstantSeconds">Time constant, s.</param>
/// <param name="StandardUncertaintySeconds">Its standard uncertainty (k = 1), s: from the scatter about the fit, widened where neighbouring readings err together.</param>
/// <param name="ScatterCelsius">Standard deviation of the readings about the fit, °C. Much above the noise of the thermometer, the response is not one exponential.</param>
/// <param name="ReadingsUsed">Readings that the fit rests on.</param>
/// <param name="ReadingsLeftOut">Wild readings that it does not rest on.</param>
/// <remarks>
/// A time constant belongs to the sensor and to what it is in: in unstirred oil it is several times that in a stirred bath. The
/// uncertainty knows nothing of that, nor of a sensor that responds in more than one stage.
/// </remarks>
public sealed record LagEstimate(double TimeConstantSeconds, double StandardUncertaintySeconds, double ScatterCelsius, int ReadingsUsed, int ReadingsLeftOut)
{
    /// <summary>When the step or ramp began according to the fit, in the record's time, s; null where a reference shows it.</summary>
    public double? OnsetSeconds { get; init; }

    /// <summary>By how much the exponential part of a step begins later than the readings depart, s: 0 for a sensor of one stage. On a ramp a sensor lags by about the time constant and this together. Null where the rest before the step is not on record.</summary>
    public double? DelaySeconds { get; init; }

    /// <summary>What the sensor at rest reads above the reference, °C; null without a reference.</summary>
    public double? OffsetCelsius { get; init; }
}
