using Acquire.Core.Thermometry;

namespace Acquire.Core.Readings;

/// <summary>Names of the columns that a trace has for the thermometer's signal and what belongs to it.</summary>
public static class ThermometerColumns
{
    /// <summary>The reference junction's temperature, °C.</summary>
    public const string Junction = "junction_c";

    /// <summary>What is known against the thermometer reading, see <see cref="ReadingMarkWords"/>.</summary>
    public const string Marks = "thermometer_marks";

    private const string Prefix = "thermometer_";

    /// <summary>The column of a signal in each unit; they are told apart by small letters alone.</summary>
    public static IReadOnlyDictionary<ThermometerUnit, string> Signals { get; } = new Dictionary<ThermometerUnit, string>
    {
        [ThermometerUnit.Celsius] = Prefix + "c",
        [ThermometerUnit.Kelvin] = Prefix + "k",
        [ThermometerUnit.Fahrenheit] = Prefix + "f",
        [ThermometerUnit.Microvolt] = Prefix + "uv",
        [ThermometerUnit.Millivolt] = Prefix + "mv",
        [ThermometerUnit.Volt] = Prefix + "v",
        [ThermometerUnit.Ohm] = Prefix + "ohm",
        [ThermometerUnit.Kiloohm] = Prefix + "kohm",
        [ThermometerUnit.Milliampere] = Prefix + "ma",
    };

    /// <summary>All columns of signals, for messages that tell what is allowed.</summary>
    public static string Known { get; } = string.Join(", ", Signals.Values);

    /// <summary>The unit of a column of signals; null for any other column. Names are exact.</summary>
    public static ThermometerUnit? UnitOf(string column)
    {
        foreach (var (unit, name) in Signals)
        {
            if (name == column)
            {
                return unit;
            }
        }

        return null;
    }

    /// <summary>The name that was meant by one that differs in upper and lower case only, such as `thermometer_mV`; null where there is none.</summary>
    /// <remarks>Other unknown columns of a trace are notes and do no harm, but a signal must not go unread because of a capital.</remarks>
    internal static string? Meant(string column) =>
        Signals.Values.Append(Marks).Append(Junction).Append(DetectorColumns.Second).Concat(BenchColumns.All.Select(known => known.Column)).FirstOrDefault(name => name != column && name.Equals(column, StringComparison.OrdinalIgnoreCase));
}
