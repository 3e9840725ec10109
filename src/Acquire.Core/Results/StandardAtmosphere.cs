namespace Acquire.Core.Results;

/// <summary>Pressure of the standard atmosphere (ISO 2533:1975, the same as ICAO's) near the ground.</summary>
public static class StandardAtmosphere
{
    /// <summary>Lowest altitude taken, m: no place on dry land is lower but the shore of the Dead Sea.</summary>
    public const double LowestMetres = -400;

    /// <summary>Highest altitude taken, m; the formula itself holds up to 11 000 m.</summary>
    public const double HighestMetres = 5000;

    /// <summary>Pressure at an altitude, kPa.</summary>
    /// <param name="altitudeMetres">Altitude above mean sea level, m; <see cref="LowestMetres"/> to <see cref="HighestMetres"/>.</param>
    /// <remarks>
    /// A layer in which temperature falls by 6.5 K/km from 288.15 K: 2.25577e-5 is 0.0065/288.15, and 5.25588 is g·M/(R·0.0065).
    /// Altitude is geopotential there; the geometric altitude differs by 4 m at 5000 m, or 0.03 kPa.
    /// </remarks>
    /// <exception cref="ArgumentOutOfRangeException">The altitude is outside its range.</exception>
    public static double Kilopascals(double altitudeMetres)
    {
        if (!(altitudeMetres is >= LowestMetres and <= HighestMetres))
        {
            throw new ArgumentOutOfRangeException(nameof(altitudeMetres), altitudeMetres, "outside the altitudes of laboratories");
        }

        return 101.325 * Math.Pow(1 - (2.25577e-5 * altitudeMetres), 5.25588);
    }
}
