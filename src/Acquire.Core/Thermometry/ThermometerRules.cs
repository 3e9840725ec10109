using System.Globalization;

namespace Acquire.Core.Thermometry;

/// <summary>Which units, sensors and limits go together. Ranges of single values of the sensor, lag and limits are for whoever reads the file.</summary>
public static class ThermometerRules
{
    /// <summary>Lowest temperature for which a thermistor's curve is vouched for, °C.</summary>
    internal const double ColdestCurveCelsius = -50;

    /// <summary>Highest temperature for which a thermistor's curve is vouched for, °C.</summary>
    internal const double HottestCurveCelsius = 300;

    /// <summary>Everything in a chain that cannot be.</summary>
    /// <param name="chain">The chain.</param>
    /// <param name="hasJunction">Whether the tester sends the temperature of a reference junction.</param>
    /// <param name="thermometer">What messages call the thermometer.</param>
    /// <returns>Mistakes under `unit`, `junction` (the junction channel), or a key of the chain such as `sensor.referenceJunction`; empty where all goes together.</returns>
    public static IReadOnlyList<InputError> Check(ThermometerChain chain, bool hasJunction, string thermometer = "the thermometer")
    {
        ArgumentNullException.ThrowIfNull(chain);
        InputError?[] found =
        [
            CheckUnit(chain, thermometer),
            CheckJunction(chain.Sensor, hasJunction, thermometer),
            CheckSensor(chain.Sensor),
            CheckTemperatures(chain.Limits),
            CheckJunctionLimits(chain.Limits),
            CheckConverter(chain),
        ];
        return [.. found.OfType<InputError>(), .. chain.Calibration is { } calibration ? CalibrationCurve.Check(calibration) : []];
    }

    private static InputError? CheckUnit(ThermometerChain chain, string thermometer)
    {
        var units = UnitsOf(chain.Sensor);
        if (units.Contains(chain.Unit))
        {
            return null;
        }

        var given = $"\"{ThermometerUnits.Word(chain.Unit)}\" is {Named(ThermometerUnits.Quantity(chain.Unit))}, but ";
        var allowed = string.Join(", ", units.Select(unit => $"\"{ThermometerUnits.Word(unit)}\""));
        if (chain.Sensor is DirectSensor)
        {
            return new("unit", $"{given}{thermometer} has no sensor that gives one; allowed: {allowed}, or {SensorsFor(chain.Unit)}");
        }

        var isTemperature = ThermometerUnits.Quantity(chain.Unit) == ThermometerQuantity.Temperature;
        var hint = isTemperature ? ", or the sensor \"direct\" where the tester itself makes a temperature of the signal" : "";
        return new("unit", $"{given}{thermometer} has {SensorNamed(chain.Sensor)}, which gives {Named(ThermometerUnits.Quantity(units[0]))}; allowed: {allowed}{hint}");
    }

    private static InputError? CheckJunction(ThermometerSensor sensor, bool hasJunction, string thermometer)
    {
        var isMeasured = sensor is ThermocoupleSensor { ReferenceJunction: ReferenceJunctionKind.Measured };
        if (isMeasured && !hasJunction)
        {
            return new("sensor.referenceJunction", "given \"measured\", but the tester sends no temperature of it; allowed: a channel \"junction\", or \"fixed\" with junctionCelsius, or \"compensated\" where the tester has added the junction's emf");
        }

        if (isMeasured || !hasJunction)
        {
            return null;
        }

        var has = sensor is ThermocoupleSensor ? "a thermocouple whose reference junction is not \"measured\"" : SensorNamed(sensor);
        return new("junction", $"given a reference junction, but {thermometer} has {has}; allowed: a junction only with the sensor \"thermocouple\" and referenceJunction \"measured\"");
    }

    private static InputError? CheckSensor(ThermometerSensor sensor) => sensor switch
    {
        ThermocoupleSensor { ReferenceJunction: ReferenceJunctionKind.Fixed, JunctionCelsius: null } => new("sensor.junctionCelsius", "is missing; allowed: the temperature of the fixed junction, °C"),
        ThermocoupleSensor { ReferenceJunction: ReferenceJunctionKind.Fixed, JunctionCelsius: { } held } couple when held < Thermocouple.Of(couple.Type).LowestCelsius =>
            new("sensor.junctionCelsius", $"given {Show(held)} °C; allowed: from {Show(Thermocouple.Of(couple.Type).LowestCelsius)} °C on, where the function of type {couple.Type} begins"),
        TransmitterSensor { LowCelsius: var low, HighCelsius: var high } when !(low < high) => new("sensor.highCelsius", $"given {Show(high)} °C with lowCelsius {Show(low)} °C; allowed: a temperature above lowCelsius"),
        ThermistorSensor thermistor => Thermistor.Check(thermistor) ?? CheckCurve(thermistor),
        _ => null,
    };

    // The numerics solve the curve both ways; a range without a solution would be a gap in the readings.
    private static InputError? CheckCurve(ThermistorSensor sensor) =>
        double.IsFinite(Thermistor.Ohms(ColdestCurveCelsius, sensor)) && double.IsFinite(Thermistor.Ohms(HottestCurveCelsius, sensor))
            ? null
            : new("sensor", $"the coefficients give no resistance at {Show(ColdestCurveCelsius)} or {Show(HottestCurveCelsius)} °C; allowed: a curve that falls all the way from {Show(ColdestCurveCelsius)} to {Show(HottestCurveCelsius)} °C");

    private static InputError? CheckTemperatures(ThermometerLimits limits) => limits is { ColdestCelsius: { } coldest, HottestCelsius: { } hottest } && !(coldest < hottest)
        ? new("limits.coldestCelsius", $"given {Show(coldest)} °C with hottestCelsius {Show(hottest)} °C; allowed: a temperature below hottestCelsius")
        : null;

    private static InputError? CheckJunctionLimits(ThermometerLimits limits) => limits.JunctionColdestCelsius < limits.JunctionHottestCelsius
        ? null
        : new("limits.junctionColdestCelsius", $"given {Show(limits.JunctionColdestCelsius)} °C with junctionHottestCelsius {Show(limits.JunctionHottestCelsius)} °C; allowed: a temperature below junctionHottestCelsius");

    private static InputError? CheckConverter(ThermometerChain chain)
    {
        var symbol = ThermometerUnits.Symbol(chain.Unit);
        return chain.Limits is { ConverterLow: { } low, ConverterHigh: { } high } && !(low < high)
            ? new("limits.converterLow", $"given {Show(low)} {symbol} with converterHigh {Show(high)} {symbol}; allowed: a signal below converterHigh")
            : null;
    }

    private static ThermometerUnit[] UnitsOf(ThermometerSensor sensor) => sensor switch
    {
        ThermocoupleSensor => [ThermometerUnit.Microvolt, ThermometerUnit.Millivolt, ThermometerUnit.Volt],
        PlatinumSensor or ThermistorSensor => [ThermometerUnit.Ohm, ThermometerUnit.Kiloohm],
        TransmitterSensor { Signal: TransmitterSignal.FourToTwentyMilliampere } => [ThermometerUnit.Milliampere],
        TransmitterSensor => [ThermometerUnit.Volt, ThermometerUnit.Millivolt],
        _ => [ThermometerUnit.Celsius, ThermometerUnit.Kelvin, ThermometerUnit.Fahrenheit],
    };

    private static string SensorsFor(ThermometerUnit unit) => ThermometerUnits.Quantity(unit) switch
    {
        ThermometerQuantity.Voltage when unit == ThermometerUnit.Microvolt => "the sensor \"thermocouple\"",
        ThermometerQuantity.Voltage => "the sensor \"thermocouple\", or \"transmitter\" with signal \"0-10 V\"",
        ThermometerQuantity.Resistance => "the sensor \"platinum\" or \"thermistor\"",
        _ => "the sensor \"transmitter\" with signal \"4-20 mA\"",
    };

    private static string SensorNamed(ThermometerSensor sensor) => sensor switch
    {
        ThermocoupleSensor => "a thermocouple",
        PlatinumSensor => "a platinum resistance sensor",
        ThermistorSensor => "a thermistor",
        TransmitterSensor { Signal: TransmitterSignal.FourToTwentyMilliampere } => "a 4-20 mA transmitter",
        TransmitterSensor => "a 0-10 V transmitter",
        LiquidInGlassSensor => "a liquid-in-glass thermometer",
        _ => "no sensor but \"direct\"",
    };

    private static string Named(ThermometerQuantity quantity) => quantity switch
    {
        ThermometerQuantity.Temperature => "a temperature",
        ThermometerQuantity.Voltage => "a voltage",
        ThermometerQuantity.Resistance => "a resistance",
        _ => "a current",
    };

    private static string Show(double value) => value.ToString(CultureInfo.InvariantCulture);
}
