using System.Globalization;
using Acquire.Core.Runs;

namespace Acquire.Core.Results;

/// <summary>Tells a station pressure from one reduced to sea level, which a weather service gives and a method forbids.</summary>
public static class StationPressureRules
{
    /// <summary>Farthest that weather takes the pressure from the standard atmosphere, kPa; common practice, no source.</summary>
    /// <remarks>
    /// At sea level that is 95.3 to 107.3 kPa: every high, and every low but the deepest (the records are 87.0 and 108.4 kPa).
    /// A pressure reduced to sea level is told apart only where the altitude itself takes away more than this, from about 510 m on
    /// an average day.
    /// </remarks>
    public const double WeatherKilopascals = 6;

    private const double SeaLevelKilopascals = 101.325;

    /// <summary>What is wrong with an altitude; null where nothing is.</summary>
    /// <param name="path">Field, for the error.</param>
    /// <param name="altitudeMetres">Altitude of the laboratory above mean sea level, m.</param>
    public static InputError? CheckAltitude(string path, double altitudeMetres) =>
        altitudeMetres is >= StandardAtmosphere.LowestMetres and <= StandardAtmosphere.HighestMetres ? null
            : new(path, string.Create(CultureInfo.InvariantCulture, $"{altitudeMetres:0.###} m is not within {StandardAtmosphere.LowestMetres:0} to {StandardAtmosphere.HighestMetres:0} m above sea level"));

    /// <summary>What is wrong with a station pressure; null where nothing is.</summary>
    /// <param name="path">Field, for the error.</param>
    /// <param name="kilopascals">The reading, kPa.</param>
    /// <param name="altitudeMetres">Altitude of the laboratory, m, in which <see cref="CheckAltitude"/> finds nothing wrong; null where unknown: then only the range is looked at.</param>
    /// <exception cref="ArgumentOutOfRangeException">The altitude was not checked.</exception>
    public static InputError? Check(string path, double kilopascals, double? altitudeMetres)
    {
        var range = RunPlan.StationPressureRangeKilopascals;
        if (!range.Contains(kilopascals))
        {
            return new(path, $"{Text.Kilopascals(kilopascals)} is not within {Text.Kilopascals(range.From)} to {Text.Kilopascals(range.To)}; give the absolute pressure at the bench, not one reduced to sea level");
        }

        if (altitudeMetres is not { } altitude)
        {
            return null;
        }

        var standard = StandardAtmosphere.Kilopascals(altitude);
        if (Math.Abs(kilopascals - standard) <= WeatherKilopascals)
        {
            return null;
        }

        var reduced = kilopascals > standard && Math.Abs(kilopascals - SeaLevelKilopascals) <= WeatherKilopascals;
        var why = reduced ? "it was reduced to sea level" : "check the barometer, the unit, and the altitude in the configuration";
        return new(path, string.Create(CultureInfo.InvariantCulture,
            $"{kilopascals:0.0} kPa cannot be the pressure at {altitude:0} m above sea level, where the standard atmosphere has {standard:0.0} kPa and weather changes that by {WeatherKilopascals:0} kPa at most: {why}. Give the absolute station pressure, as the barometer at the bench shows it"));
    }
}
