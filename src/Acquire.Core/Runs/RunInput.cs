using Acquire.Core.Readings;

namespace Acquire.Core.Runs;

/// <summary>What an input to the supervisor is.</summary>
public enum RunInputKind
{
    /// <summary>A reading of the specimen thermometer; value in °C.</summary>
    Temperature,

    /// <summary>A reading of the specimen thermometer that must not be used, or its silence; value: its <see cref="ReadingMarks"/>.</summary>
    BadTemperature,

    /// <summary>A reading of the ignition detector; value in the detector's own unit, any scale and offset.</summary>
    Detector,

    /// <summary>A reading of a second ignition detector, which confirms what the first decides; value in its own unit.</summary>
    SecondDetector,

    /// <summary>Whether the test flame is over the cup; value 1 or 0.</summary>
    Flame,

    /// <summary>What a person saw at the cup of a guided run; value: its <see cref="Sighting"/>.</summary>
    Observation,

    /// <summary>The person takes the newest observation back; no value.</summary>
    Withdrawal,

    /// <summary>A fresh test portion was charged in an equilibrium run; value: its volume, mL, or 0 where nobody said.</summary>
    Portion,

    /// <summary>Speed of the stirrer; value in r/min.</summary>
    Stirrer,

    /// <summary>Whether the stirrer turns, of a tester that does not measure its speed; value 1 or 0.</summary>
    Stirring,

    /// <summary>Whether the test flame burns; value 1 or 0.</summary>
    Lit,

    /// <summary>Speed of the air beside the cup; value in m/s.</summary>
    Air,

    /// <summary>Temperature of the room; value in °C.</summary>
    Ambient,

    /// <summary>Time has passed with nothing to read; no value.</summary>
    Tick,

    /// <summary>A person, or the end of the record, ends the run; no value.</summary>
    Stop,
}

/// <summary>One input of a run. Ten to five hundred of these arrive each second, so it is a small value.</summary>
/// <param name="Kind">What it is.</param>
/// <param name="AtSeconds">The reading's own time on the run's monotonic axis, s from the start of the record.</param>
/// <param name="Value">The value in the unit of its kind; must be finite.</param>
public readonly record struct RunInput(RunInputKind Kind, double AtSeconds, double Value)
{
    /// <summary>Who made an observation or takes one back; null where nobody said, and for all other inputs. Kept, never judged.</summary>
    public string? Person { get; init; }

    /// <summary>Times farther than this from the start of the record, either way, are not times of a run, s: three hundred years.</summary>
    public const double FarthestSeconds = 1e10;

    /// <summary>Detector values are cut off at this size, either way: beyond it their squares are no numbers.</summary>
    public const double LargestDetector = 1e100;

    /// <summary>A thermometer reading, °C.</summary>
    public static RunInput Temperature(double atSeconds, double celsius) => new(RunInputKind.Temperature, atSeconds, celsius);

    /// <summary>A thermometer reading that must not be used, with what is known against it.</summary>
    public static RunInput BadTemperature(double atSeconds, ReadingMarks marks) => new(RunInputKind.BadTemperature, atSeconds, (int)marks);

    /// <summary>An ignition-detector reading in the detector's own unit.</summary>
    public static RunInput Detector(double atSeconds, double value) => new(RunInputKind.Detector, atSeconds, value);

    /// <summary>A reading of a second ignition detector in its own unit. Of two readings of one moment it comes before that of the first detector, which decides.</summary>
    public static RunInput SecondDetector(double atSeconds, double value) => new(RunInputKind.SecondDetector, atSeconds, value);

    /// <summary>The test flame is over the cup (true) or away from it (false).</summary>
    public static RunInput Flame(double atSeconds, bool over) => new(RunInputKind.Flame, atSeconds, over ? 1 : 0);

    /// <summary>Speed of the stirrer, r/min.</summary>
    public static RunInput Stirrer(double atSeconds, double revolutionsPerMinute) => new(RunInputKind.Stirrer, atSeconds, revolutionsPerMinute);

    /// <summary>The stirrer turns (true) or stands (false).</summary>
    public static RunInput Stirring(double atSeconds, bool turns) => new(RunInputKind.Stirring, atSeconds, turns ? 1 : 0);

    /// <summary>The test flame burns (true) or is out (false).</summary>
    public static RunInput Lit(double atSeconds, bool burns) => new(RunInputKind.Lit, atSeconds, burns ? 1 : 0);

    /// <summary>Speed of the air beside the cup, m/s.</summary>
    public static RunInput Air(double atSeconds, double metresPerSecond) => new(RunInputKind.Air, atSeconds, metresPerSecond);

    /// <summary>Temperature of the room, °C.</summary>
    public static RunInput Ambient(double atSeconds, double celsius) => new(RunInputKind.Ambient, atSeconds, celsius);

    /// <summary>A person saw something at the cup. Passed over in a run that is not guided; a time before the newest input is taken as that input's.</summary>
    public static RunInput Observation(double atSeconds, Sighting seen, string? person = null) => new(RunInputKind.Observation, atSeconds, (int)seen) { Person = person };

    /// <summary>The person takes the newest observation back. Passed over where <see cref="RunStatus.WithdrawableSighting"/> is null.</summary>
    public static RunInput Withdrawal(double atSeconds, string? person = null) => new(RunInputKind.Withdrawal, atSeconds, 0) { Person = person };

    /// <summary>A fresh test portion was charged. Passed over in a run that is no equilibrium procedure; a time before the newest input is taken as that input's.</summary>
    /// <param name="atSeconds">When, s.</param>
    /// <param name="millilitres">Its volume, mL; null where nobody said.</param>
    /// <param name="person">Who charged it; null where nobody said.</param>
    public static RunInput Portion(double atSeconds, double? millilitres, string? person = null) => new(RunInputKind.Portion, atSeconds, millilitres ?? 0) { Person = person };

    /// <summary>Time has passed without a reading.</summary>
    public static RunInput Tick(double atSeconds) => new(RunInputKind.Tick, atSeconds, 0);

    /// <summary>The run is to end now.</summary>
    public static RunInput Stop(double atSeconds) => new(RunInputKind.Stop, atSeconds, 0);
}
