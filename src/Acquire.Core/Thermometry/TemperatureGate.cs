using System.Text.Json.Serialization;
using Acquire.Core.Readings;

namespace Acquire.Core.Thermometry;

/// <summary>Keeps thermometer readings out that a specimen cannot have: single jumps by a loose contact or a damaged line.</summary>
/// <remarks>
/// The first reading is let in once a second one agrees with it. A jump that lasts longer than <see cref="ConvincingSeconds"/>
/// is taken as real and noted. Part of a run's snapshot.
/// </remarks>
internal sealed class TemperatureGate
{
    /// <summary>Largest step between two readings that is not a jump, °C, beside what heating can do.</summary>
    private const double LargestStepCelsius = 4;

    // Faster than any cup can be heated or cooled, even a burning one.
    private const double FastestCelsiusPerSecond = 3;

    // Longer than a plug takes to be pushed back in; a hole of this length is stated as a gap in the record anyway.
    private const double ConvincingSeconds = 10;

    [JsonInclude]
    private double? _last;

    [JsonInclude]
    private double? _candidate;

    [JsonInclude]
    private double _lastAt;

    [JsonInclude]
    private double? _suspectSince;

    /// <summary>Readings kept out so far.</summary>
    [JsonInclude]
    public int KeptOut { get; private set; }

    /// <summary>Steps that lasted and were taken as real.</summary>
    [JsonInclude]
    public int Steps { get; private set; }

    /// <summary>Whether the reading may be used.</summary>
    public bool Admit(double seconds, double celsius)
    {
        if (celsius is < ReadingRow.LowestCelsius or > ReadingRow.HighestCelsius)
        {
            KeptOut++;
            return false;
        }

        var allowed = LargestStepCelsius + (FastestCelsiusPerSecond * (seconds - _lastAt));
        if (_last is null)
        {
            return Begin(seconds, celsius, allowed);
        }

        if (_last is { } last && Math.Abs(celsius - last) > allowed)
        {
            _suspectSince ??= seconds;
            if (seconds - _suspectSince < ConvincingSeconds)
            {
                KeptOut++;
                return false;
            }

            Steps++;
        }

        _suspectSince = null;
        _last = celsius;
        _lastAt = seconds;
        return true;
    }

    private bool Begin(double seconds, double celsius, double allowed)
    {
        var agrees = _candidate is { } candidate && Math.Abs(celsius - candidate) <= allowed;
        KeptOut += _candidate is null || agrees ? 0 : 1;
        _candidate = celsius;
        _lastAt = seconds;
        _last = agrees ? celsius : null;
        return agrees;
    }
}
