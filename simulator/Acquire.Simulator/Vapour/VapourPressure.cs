namespace Acquire.Simulator;

/// <summary>Vapour pressure of a pure liquid: ln(p/Pa) = C1 + C2/T + C3 ln T + C4 T^C5, T in K.</summary>
/// <param name="C1">Constant.</param>
/// <param name="C2">K.</param>
/// <param name="C3">Factor of ln T.</param>
/// <param name="C4">Factor of T^C5, K^-C5.</param>
/// <param name="C5">Exponent.</param>
/// <param name="FromKelvin">Lowest temperature the coefficients were given for, K.</param>
/// <param name="ToKelvin">Highest, K: the critical point.</param>
public readonly record struct VapourPressure(double C1, double C2, double C3, double C4, double C5, double FromKelvin, double ToKelvin)
{
    private const double GasConstant = 8.314462618, Zero = 273.15;

    /// <summary>The pressure, kPa. Outside the range the equation is carried on.</summary>
    /// <param name="celsius">Temperature, °C.</param>
    public double Kilopascals(double celsius)
    {
        var kelvin = celsius + Zero;
        return Math.Exp(C1 + (C2 / kelvin) + (C3 * Math.Log(kelvin)) + (C4 * Math.Pow(kelvin, C5))) / 1000;
    }

    /// <summary>Enthalpy of vaporization that the equation implies by Clausius and Clapeyron for a perfect vapour: R T² d ln p/dT, J/mol.</summary>
    /// <param name="celsius">Temperature, °C.</param>
    public double LatentJoulesPerMole(double celsius)
    {
        var kelvin = celsius + Zero;
        return GasConstant * (-C2 + (C3 * kelvin) + (C4 * C5 * Math.Pow(kelvin, C5 + 1)));
    }

    /// <summary>Whether the coefficients were given for a temperature, °C.</summary>
    public bool Covers(double celsius) => celsius + Zero >= FromKelvin && celsius + Zero <= ToKelvin;
}
