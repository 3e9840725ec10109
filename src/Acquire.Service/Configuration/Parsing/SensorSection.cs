using Acquire.Core.Readings;
using Acquire.Core.Thermometry;

namespace Acquire.Service.Configuration.Parsing;

/// <summary>Reads what turns temperature into the signal.</summary>
internal static class SensorSection
{
    private enum Kind
    {
        Direct,
        Thermocouple,
        Platinum,
        Thermistor,
        Transmitter,
        LiquidInGlass,
    }

    private static readonly Dictionary<string, ThermocoupleType> Types = Enum.GetValues<ThermocoupleType>().ToDictionary(type => type.ToString());
    private static readonly Dictionary<string, PlatinumTolerance> Tolerances = Enum.GetValues<PlatinumTolerance>().ToDictionary(tolerance => tolerance.ToString());

    private static readonly Dictionary<string, Kind> Kinds = new()
    {
        ["direct"] = Kind.Direct,
        ["thermocouple"] = Kind.Thermocouple,
        ["platinum"] = Kind.Platinum,
        ["thermistor"] = Kind.Thermistor,
        ["transmitter"] = Kind.Transmitter,
        ["liquid-in-glass"] = Kind.LiquidInGlass,
    };

    private static readonly Dictionary<string, ReferenceJunctionKind> Junctions = new()
    {
        ["measured"] = ReferenceJunctionKind.Measured,
        ["fixed"] = ReferenceJunctionKind.Fixed,
        ["compensated"] = ReferenceJunctionKind.Compensated,
    };

    private static readonly Dictionary<string, TransmitterSignal> Signals = new()
    {
        ["4-20 mA"] = TransmitterSignal.FourToTwentyMilliampere,
        ["0-10 V"] = TransmitterSignal.ZeroToTenVolt,
    };

    private static readonly Dictionary<string, ThermometricLiquid> Liquids = new()
    {
        ["mercury"] = ThermometricLiquid.Mercury,
        ["organic"] = ThermometricLiquid.Organic,
    };

    /// <summary>Reads the sensor; a direct one stands in for one that cannot be read.</summary>
    public static ThermometerSensor Read(ConfigObject? section)
    {
        if (section is null || !section.TryChoice("kind", Kinds, null, out var kind))
        {
            return new DirectSensor();
        }

        ThermometerSensor sensor = kind switch
        {
            Kind.Thermocouple => ReadThermocouple(section),
            Kind.Platinum => ReadPlatinum(section),
            Kind.Thermistor => ThermistorSection.Read(section),
            Kind.Transmitter => ReadTransmitter(section),
            Kind.LiquidInGlass => ReadLiquidInGlass(section),
            _ => new DirectSensor(),
        };
        section.RefuseUnknownKeys();
        return sensor;
    }

    private static ThermocoupleSensor ReadThermocouple(ConfigObject section)
    {
        const string Celsius = "junctionCelsius";
        section.TryChoice("type", Types, null, out var type);
        var known = section.TryChoice("referenceJunction", Junctions, null, out var junction);
        double? celsius = null;
        if (known && junction == ReferenceJunctionKind.Fixed)
        {
            celsius = section.Number(Celsius, -20, 80, "°C", optional: false);
        }
        else if (section.Gives(Celsius) && known)
        {
            section.Refuse(Celsius, "only a \"fixed\" reference junction has a temperature here; allowed: leave it out");
        }

        return new(type, junction, celsius);
    }

    private static PlatinumSensor ReadPlatinum(ConfigObject section)
    {
        var ohms = section.Number("r0Ohms", 10, 10_000, "ohm", optional: true) ?? 100;
        var wires = section.Whole("wires", 2, 4, null);
        var lead = ReadLead(section, wires);
        return new(ohms, wires, lead, section.Choice("tolerance", Tolerances));
    }

    private static double? ReadLead(ConfigObject section, int wires)
    {
        const string Key = "leadOhms";
        switch (wires)
        {
            case 2:
                return section.Number(Key, 0, 100, "ohm, both leads together", optional: true);
            case 3:
                return section.Number(Key, -10, 10, "ohm, by which the lead in the sensor's loop exceeds its twin", optional: true);
            default:
                var lead = section.Number(Key, -10, 100, "ohm", optional: true);
                if (lead is not (null or 0))
                {
                    section.Refuse(Key, "four wires read past their leads; allowed: 0, or leave it out");
                }

                return lead;
        }
    }

    private static TransmitterSensor ReadTransmitter(ConfigObject section)
    {
        section.TryChoice("signal", Signals, null, out var signal);
        var low = section.Number("lowCelsius", ReadingRow.LowestCelsius, ReadingRow.HighestCelsius, "°C", optional: false);
        var high = section.Number("highCelsius", ReadingRow.LowestCelsius, ReadingRow.HighestCelsius, "°C", optional: false);
        return new(signal, low ?? 0, high ?? 0);
    }

    private static LiquidInGlassSensor ReadLiquidInGlass(ConfigObject section)
    {
        section.TryChoice("liquid", Liquids, null, out var liquid);
        var immersed = section.Number("immersedToCelsius", -200, 700, "°C on its scale", optional: false);
        var stem = section.Number("stemCelsius", -60, 400, "°C", optional: false);
        return new(liquid, immersed ?? 0, stem ?? 0, section.Number("calibratedStemCelsius", -60, 400, "°C", optional: true));
    }
}
