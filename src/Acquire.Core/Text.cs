using System.Globalization;

namespace Acquire.Core;

/// <summary>Numbers in sentences, the same in every culture.</summary>
internal static class Text
{
    /// <summary>A temperature with its unit.</summary>
    public static string Celsius(double value) => value.ToString("0.0", CultureInfo.InvariantCulture) + " °C";

    /// <summary>A ramp rate with its unit.</summary>
    public static string Rate(double value) => value.ToString("0.00", CultureInfo.InvariantCulture) + " °C/min";

    /// <summary>A time span with its unit.</summary>
    public static string Seconds(double value) => value.ToString("0.0", CultureInfo.InvariantCulture) + " s";

    /// <summary>A volume with its unit.</summary>
    public static string Millilitres(double value) => value.ToString("0.0##", CultureInfo.InvariantCulture) + " mL";

    /// <summary>A pressure with its unit.</summary>
    public static string Kilopascals(double value) => value.ToString("0.0##", CultureInfo.InvariantCulture) + " kPa";

    /// <summary>A part of the whole, 0 to 1, in per cent.</summary>
    public static string Percent(double fraction) => (fraction * 100).ToString("0.#", CultureInfo.InvariantCulture) + " %";

    /// <summary>A number without a unit of its own.</summary>
    public static string Number(double value) => value.ToString("0.0", CultureInfo.InvariantCulture);

    /// <summary>A day.</summary>
    public static string Day(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    /// <summary>A number of days.</summary>
    public static string Days(int days) => days == 1 ? "1 day" : days.ToString(CultureInfo.InvariantCulture) + " days";
}
