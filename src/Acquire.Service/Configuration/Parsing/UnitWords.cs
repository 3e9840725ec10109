using Acquire.Core.Results;
using Acquire.Core.Thermometry;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Words for the units of temperatures and of thermometers' signals.</summary>
internal static class UnitWords
{
    /// <summary>Every unit in which a thermometer's signal may come.</summary>
    public static readonly Dictionary<string, ReadingUnit> Signal = Words(_ => true);

    /// <summary>Units of temperature.</summary>
    public static readonly Dictionary<string, ReadingUnit> Temperature = Words(unit => ThermometerUnits.Quantity(unit) == ThermometerQuantity.Temperature);

    /// <summary>Units of a barometer.</summary>
    public static readonly Dictionary<string, ReadingUnit> Pressure = Enum.GetValues<ReadingUnit>()
        .Where(unit => unit.ToPressure() is not null)
        .ToDictionary(unit => PressureUnits.Word(unit.ToPressure()!.Value));

    /// <summary>The same as units of the chain, for a file that holds nothing but the chain.</summary>
    public static readonly Dictionary<string, ThermometerUnit> Thermometer = Enum.GetValues<ThermometerUnit>().ToDictionary(ThermometerUnits.Word);

    /// <summary>The word for a symbol such as °C; anything else as it is.</summary>
    public static string Canonical(string word) => ThermometerUnits.TryParse(word, out var unit) ? ThermometerUnits.Word(unit) : word;

    private static Dictionary<string, ReadingUnit> Words(Predicate<ThermometerUnit> wanted) => Enum.GetValues<ReadingUnit>()
        .Where(unit => unit.ToThermometer() is { } known && wanted(known))
        .ToDictionary(unit => ThermometerUnits.Word(unit.ToThermometer()!.Value));
}
