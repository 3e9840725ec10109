using System.Text.Json.Serialization;
using Acquire.Core.Thermometry;

namespace Acquire.Core.Runs;

/// <summary>What is remembered of the thermometer's readings to tell whether a temperature can be read off them at an onset. Part of a run's snapshot.</summary>
internal sealed class TemperatureCourse
{
    // A value that rests for so many times its usual pause while the cup is heated has stopped to follow the specimen.
    private const double RestingPauses = 8;

    // Share of bad readings within about this time, s.
    private const double ShareSeconds = 10;

    private const int MostTurns = 64;
    private const int MostRests = 16;

    // Rests that are over, each from the first reading marked so to the first one not marked.
    [JsonInclude]
    private List<Rest> _rests = [];

    [JsonInclude]
    private double _restFrom = double.NaN;

    // Times at which the readings left the calibrated span and came back, in turn; the first one leaves it.
    [JsonInclude]
    private List<double> _turns = [];

    [JsonInclude]
    private double _at = double.NaN;

    [JsonInclude]
    private double _share;

    /// <summary>How often the temperature changes.</summary>
    [JsonInclude]
    public ValueRhythm Rhythm { get; private set; } = new();

    /// <summary>Largest share of bad readings within some ten seconds where applications were due or near; 0 to 1.</summary>
    [JsonInclude]
    public double WorstShare { get; private set; }

    // A step back may miss the temperature before by the step that the gate lets through, and by what heating adds meanwhile.
    private const double BackWithinCelsius = 4;
    private const double HeatingCelsiusPerSecond = 20.0 / 60;

    [JsonInclude]
    private double? _steppedFromCelsius;

    [JsonInclude]
    private double _steppedAt;

    /// <summary>Whether the temperature stands on the far side of a step that no step back has undone.</summary>
    public bool IsStepped => _steppedFromCelsius is not null;

    /// <summary>Takes a step that lasted.</summary>
    /// <param name="fromCelsius">Last temperature before it, °C; null where there was none.</param>
    /// <param name="seconds">When it was taken as real, s.</param>
    /// <param name="celsius">Temperature after it, °C.</param>
    public void Step(double? fromCelsius, double seconds, double celsius)
    {
        if (_steppedFromCelsius is { } before && Math.Abs(celsius - before) <= BackWithinCelsius + (HeatingCelsiusPerSecond * (seconds - _steppedAt)))
        {
            _steppedFromCelsius = null;
        }
        else if (_steppedFromCelsius is null)
        {
            (_steppedFromCelsius, _steppedAt) = (fromCelsius, seconds);
        }
    }

    /// <summary>Takes a sound reading.</summary>
    public void Sound(double seconds, double celsius, bool resting, bool outsideCalibration, bool inSeries)
    {
        Follow(seconds, celsius, resting);
        Share(seconds, 0, inSeries);
        if (outsideCalibration == (_turns.Count % 2 == 0))
        {
            _turns.Add(seconds);
            if (_turns.Count > MostTurns)
            {
                _turns.RemoveRange(0, 2);
            }
        }
    }

    /// <summary>Takes a bad one.</summary>
    public void Bad(double seconds, bool inSeries) => Share(seconds, 1, inSeries);

    /// <summary>Whether readings at a moment were outside the calibrated span.</summary>
    public bool OutsideCalibrationAt(double seconds) => _turns.FindLastIndex(turn => turn <= seconds) % 2 == 0;

    /// <summary>Whether the temperature had ceased to change at a moment, which the newest reading lies at or behind.</summary>
    public bool RestsAt(double seconds, double leastSeconds) =>
        (Rhythm.ChangedAt < seconds && Rhythm.IsOverdue(seconds, leastSeconds, RestingPauses))
        || _restFrom <= seconds
        || _rests.Exists(rest => rest.FromSeconds <= seconds && seconds <= rest.ToSeconds);

    // The mark is that of the signal: a junction that goes on changing moves the temperature of a signal that stands still.
    private void Follow(double seconds, double celsius, bool resting)
    {
        Rhythm.Take(seconds, celsius);
        if (resting)
        {
            _restFrom = double.IsNaN(_restFrom) ? seconds : _restFrom;
        }
        else if (!double.IsNaN(_restFrom))
        {
            _rests.Add(new(_restFrom, seconds));
            _restFrom = double.NaN;
            if (_rests.Count > MostRests)
            {
                _rests.RemoveAt(0);
            }
        }
    }

    // A mean that forgets with time, not with the number of readings.
    private void Share(double seconds, double bad, bool inSeries)
    {
        var passed = double.IsNaN(_at) ? 0 : Math.Max(0, seconds - _at);
        _at = seconds;
        _share += passed / (ShareSeconds + passed) * (bad - _share);
        WorstShare = inSeries ? Math.Max(WorstShare, _share) : WorstShare;
    }
}

/// <summary>A time in which the thermometer showed one and the same value for far longer than it used to.</summary>
/// <param name="FromSeconds">When it had lasted too long, s.</param>
/// <param name="ToSeconds">When it was over, s.</param>
internal readonly record struct Rest(double FromSeconds, double ToSeconds);
