using Acquire.Core.Methods;

namespace Acquire.Core.Results;

/// <summary>Corrects an observed flash or fire point to standard pressure by the method's linear rule.</summary>
public static class BarometricCorrection
{
    /// <summary>Corrected = observed + coefficient × (standard − station), °C. Not rounded.</summary>
    /// <param name="observedCelsius">As read, °C.</param>
    /// <param name="stationKilopascals">Absolute pressure at the bench, kPa; not reduced to sea level.</param>
    /// <param name="rule">The method's rule.</param>
    public static double Correct(double observedCelsius, double stationKilopascals, BarometricRule rule)
    {
        ArgumentNullException.ThrowIfNull(rule);
        return observedCelsius + (rule.CoefficientCelsiusPerKilopascal * (rule.StandardKilopascals - stationKilopascals));
    }
}
