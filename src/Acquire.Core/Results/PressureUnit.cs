namespace Acquire.Core.Results;

/// <summary>A unit in which a barometer may be read.</summary>
public enum PressureUnit
{
    /// <summary>kPa.</summary>
    Kilopascal,

    /// <summary>hPa.</summary>
    Hectopascal,

    /// <summary>mbar, the same as hPa.</summary>
    Millibar,

    /// <summary>Conventional millimetre of mercury: 13.5951 g/cm³ × 9.80665 m/s² × 1 mm.</summary>
    MillimetreOfMercury,
}
