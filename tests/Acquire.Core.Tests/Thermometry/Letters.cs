using Acquire.Core.Thermometry;
using CsCheck;
using Xunit;

namespace Acquire.Core.Tests.Thermometry;

/// <summary>The eight letters, as cases of a theory and as a generator.</summary>
internal static class Letters
{
    /// <summary>One case a letter.</summary>
    public static TheoryData<ThermocoupleType> All => [.. Enum.GetValues<ThermocoupleType>()];

    /// <summary>A thermocouple and a temperature of its invertible range, °C.</summary>
    public static readonly Gen<(Thermocouple Thermocouple, double Celsius)> AnywhereInRange =
        from type in Gen.Enum<ThermocoupleType>()
        let thermocouple = Thermocouple.Of(type)
        from celsius in Gen.Double[thermocouple.LowestInvertibleCelsius, thermocouple.HighestCelsius]
        select (thermocouple, celsius);
}
