using System.Text.Json.Serialization;

namespace Acquire.Core.Detection;

/// <summary>How large the statistic of a turn is in this run where nothing turns: white noise makes it 1, noise with a memory, a coarse display or a flame that warms the thermometer more. Part of a run's snapshot.</summary>
/// <remarks>
/// It needs no model of the noise: what the statistic has often been is not taken for a turn. It is learnt slowly, and no
/// single turn, however large, teaches it much.
/// </remarks>
internal sealed class TurnNoise
{
    private const double LearnSeconds = 150;

    // Before anything is learnt white noise is assumed, as surely as if it had been seen for so long.
    private const double AssumedSeconds = 60;

    // One point teaches at most so many times what was usual: three deviations.
    private const double HighestFactor = 9;

    // What white noise itself can make of it within the time it is learnt.
    private const double ChanceFactor = 1.8;

    [JsonInclude]
    private double _mean = 1;

    [JsonInclude]
    private double _seconds = AssumedSeconds;

    [JsonInclude]
    private double _last = double.NaN;

    /// <summary>By what the squares of a turn are to be divided; at least 1.</summary>
    public double Factor => _mean > ChanceFactor ? _mean : 1;

    /// <summary>Learns from a point.</summary>
    /// <param name="seconds">Its time, s.</param>
    /// <param name="squaredDeviations">The statistic for a turn some seconds ago.</param>
    public void Learn(double seconds, double squaredDeviations)
    {
        var passed = double.IsNaN(_last) ? 0 : Math.Min(seconds - _last, 1);
        _last = seconds;
        _seconds = Math.Min(_seconds + passed, LearnSeconds);
        _mean += passed / _seconds * (Math.Min(squaredDeviations, HighestFactor * _mean) - _mean);
    }
}
