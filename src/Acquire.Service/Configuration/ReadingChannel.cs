namespace Acquire.Service.Configuration;

/// <summary>What a column, a field or a topic holds.</summary>
public enum ReadingChannel
{
    /// <summary>Nothing that is read.</summary>
    Ignore,

    /// <summary>The tester's own time.</summary>
    Time,

    /// <summary>Specimen temperature, or the signal of its sensor.</summary>
    Temperature,

    /// <summary>Temperature of a thermocouple's reference junction.</summary>
    Junction,

    /// <summary>Ignition detector, in its own unit.</summary>
    Detector,

    /// <summary>A second ignition detector, which confirms what the first decides, in its own unit.</summary>
    SecondDetector,

    /// <summary>Whether the test flame is over the cup.</summary>
    Flame,

    /// <summary>Number of the newest drive command that the tester obeys.</summary>
    Command,

    /// <summary>Power given to the heater, as a share of its most.</summary>
    Heater,

    /// <summary>Speed of the stirrer.</summary>
    Stirrer,

    /// <summary>Whether the stirrer turns.</summary>
    Stirring,

    /// <summary>Whether the test flame burns.</summary>
    Lit,

    /// <summary>Speed of the air beside the cup.</summary>
    Air,

    /// <summary>Temperature of the room beside the tester.</summary>
    Ambient,

    /// <summary>The tester's own count of its messages or rows.</summary>
    Sequence,

    /// <summary>Absolute air pressure, of a source that testers share.</summary>
    Pressure,
}

/// <summary>Units in which a tester may send.</summary>
public enum ReadingUnit
{
    /// <summary>The channel has no unit to convert.</summary>
    None,

    /// <summary>s.</summary>
    Seconds,

    /// <summary>ms.</summary>
    Milliseconds,

    /// <summary>°C.</summary>
    Celsius,

    /// <summary>K.</summary>
    Kelvin,

    /// <summary>°F.</summary>
    Fahrenheit,

    /// <summary>µV.</summary>
    Microvolt,

    /// <summary>mV.</summary>
    Millivolt,

    /// <summary>V.</summary>
    Volt,

    /// <summary>ohm.</summary>
    Ohm,

    /// <summary>kΩ.</summary>
    Kiloohm,

    /// <summary>mA.</summary>
    Milliampere,

    /// <summary>A share, 0 to 1.</summary>
    One,

    /// <summary>%.</summary>
    Percent,

    /// <summary>r/min.</summary>
    RevolutionsPerMinute,

    /// <summary>m/s.</summary>
    MetresPerSecond,

    /// <summary>kPa.</summary>
    Kilopascal,

    /// <summary>hPa.</summary>
    Hectopascal,

    /// <summary>mbar.</summary>
    Millibar,

    /// <summary>mmHg.</summary>
    MillimetreOfMercury,
}
