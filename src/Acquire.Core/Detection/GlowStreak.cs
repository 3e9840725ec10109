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

    // The newest means keep one height while none of them is lower than the first share of the highest, and the newest not
    // lower than the second: a blink comes up and goes down again. Noise in units of its scale is allowed for.
    private const double RisenFrom = 1.0 / 3;
    private const double FallenTo = 0.55;
    private const double Slack = 2;
    private const int Held = 16;

    [JsonInclude]
    private int _above;

    [JsonInclude]
    private int _below;

    [JsonInclude]
    private double _newest = double.NaN;

    [JsonInclude]
    private double[] _times = new double[Held];

    [JsonInclude]
    private double[] _heights = new double[Held];

    /// <summary>First reading of the stretch, s; not a number while there is none.</summary>
    [JsonInclude]
    public double OnsetSeconds { get; private set; } = double.NaN;

    /// <summary>Whether there is a stretch.</summary>
    public bool Stands => _above > 0;

    /// <summary>How long the means have stood above the threshold, s; 0 with fewer than three of them.</summary>
    public double StoodSeconds => _above >= FewestMeans ? _newest - OnsetSeconds : 0;

    /// <summary>How long the newest of them have kept about one height, s; likewise, and no longer than sixteen means.</summary>
    [JsonInclude]
    public double KeptSeconds { get; private set; }

    /// <summary>Ends the stretch.</summary>
    public void Clear() => (_above, _below, OnsetSeconds, KeptSeconds) = (0, 0, double.NaN, 0);

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
            // Where there is no stretch, none ends: so it is with nearly every mean.
            if (_above == 0)
            {
                return;
            }

            _below++;
            if (_below * OneBelowIn > _above)
            {
                Clear();
            }

            return;
        }

        OnsetSeconds = _above == 0 ? firstSeconds : OnsetSeconds;
        (_times[_above % Held], _heights[_above % Held]) = (firstSeconds, height);
        _above++;
        _newest = newestSeconds;
        KeptSeconds = Kept(height, Slack * scale);
    }

    private double Kept(double newest, double slack)
    {
        var (highest, lowest, kept) = (newest, newest, 0);
        for (; kept < Math.Min(_above, Held); kept++)
        {
            var height = _heights[(_above - 1 - kept) % Held];
            (highest, lowest) = (Math.Max(highest, height), Math.Min(lowest, height));
            if (lowest < (RisenFrom * highest) - slack || newest < (FallenTo * highest) - slack)
            {
                break;
            }
        }

        return kept < FewestMeans ? 0 : _newest - _times[(_above - kept) % Held];
    }
}
