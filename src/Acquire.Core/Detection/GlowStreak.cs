using System.Text.Json.Serialization;

namespace Acquire.Core.Detection;

/// <summary>An unbroken stretch of short means above a threshold, and how long it has kept about one height.</summary>
/// <remarks>Part of a run's snapshot; times in s, heights in the detector's unit.</remarks>
public sealed class GlowStreak
{
    // Of so many means in a row one may lie below: a reading that is wild downwards does not break a flame.
    private const int OneBelowIn = 6;

    // Fewest means that a decision may rest on: two neighbours may both be wild.
    private const int FewestMeans = 3;

    // A height is kept while it neither doubles nor halves; noise in units of its scale is allowed for.
    private const double Change = 2;
    private const double Slack = 2;

    [JsonInclude]
    private int _above;

    [JsonInclude]
    private int _below;

    [JsonInclude]
    private double _newest = double.NaN;

    [JsonInclude]
    private double _keptSince = double.NaN;

    [JsonInclude]
    private int _kept;

    [JsonInclude]
    private double _lowest;

    [JsonInclude]
    private double _highest;

    /// <summary>First reading of the stretch, s; not a number while there is none.</summary>
    [JsonInclude]
    public double OnsetSeconds { get; private set; } = double.NaN;

    /// <summary>Whether there is a stretch.</summary>
    public bool Stands => _above > 0;

    /// <summary>How long the means have stood above the threshold, s; 0 with fewer than three of them.</summary>
    public double StoodSeconds => _above >= FewestMeans ? _newest - OnsetSeconds : 0;

    /// <summary>How long they have kept about one height, s; likewise.</summary>
    public double KeptSeconds => _kept >= FewestMeans ? _newest - _keptSince : 0;

    /// <summary>Ends the stretch.</summary>
    public void Clear() => (_above, _below, _kept, OnsetSeconds, _keptSince) = (0, 0, 0, double.NaN, double.NaN);

    /// <summary>Takes in a mean.</summary>
    /// <param name="firstSeconds">Time of its first reading, s.</param>
    /// <param name="newestSeconds">Time of its last reading, s.</param>
    /// <param name="height">Above the level at rest.</param>
    /// <param name="threshold">Height that is to be exceeded.</param>
    /// <param name="scale">Scatter at rest.</param>
    public void Add(double firstSeconds, double newestSeconds, double height, double threshold, double scale)
    {
        if (!(height > threshold))
        {
            _below++;
            if (_below * OneBelowIn > _above)
            {
                Clear();
            }

            return;
        }

        OnsetSeconds = _above == 0 ? firstSeconds : OnsetSeconds;
        _above++;
        _newest = newestSeconds;
        if (_kept == 0 || height > (Change * _lowest) + (Slack * scale) || height < (_highest / Change) - (Slack * scale))
        {
            (_keptSince, _kept, _lowest, _highest) = (firstSeconds, 1, height, height);
            return;
        }

        _kept++;
        (_lowest, _highest) = (Math.Min(_lowest, height), Math.Max(_highest, height));
    }
}
