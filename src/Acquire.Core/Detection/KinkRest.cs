using System.Text.Json.Serialization;

namespace Acquire.Core.Detection;

/// <summary>Says when hardly any turn can have come to stand out since places for one were last looked through. Part of a run's snapshot.</summary>
/// <remarks>
/// The squares that a kink saves are those of a projection of the residues. A new point brings one direction more, and so adds
/// to the largest of them no more than the square of its own distance from the line, both in units of the scatter, which is taken as it was. As long as
/// what was found then and these distances together stay below what a turn needs, there is none, and the places need not be
/// looked through.
/// </remarks>
internal sealed class KinkRest
{
    // The noise is learnt so often, s, whatever was seen meanwhile: were it learnt oftener where a kink stands out, it would seem larger than it is.
    private const double LearnSeconds = 0.98;

    // With fewer points, as in the first half minute, every one is looked at and learnt from.
    private const double LeastFreedom = 150;

    // Between two places a kink may save a little more, and the window moves on.
    private const double BetweenPlaces = 1.2;
    private const double Beside = 3;

    [JsonInclude]
    private double _learntAt = double.NegativeInfinity;

    // Points completed when it was asked last: one that it was not asked at has not been counted.
    [JsonInclude]
    private int _completed;

    [JsonInclude]
    private double _since;

    [JsonInclude]
    private double _centre;

    [JsonInclude]
    private double _level;

    [JsonInclude]
    private double _slope;

    [JsonInclude]
    private double _variance;

    [JsonInclude]
    private double _most = double.PositiveInfinity;

    /// <summary>Whether it is time to learn how large the statistic is where nothing turns.</summary>
    /// <param name="seconds">Time of the newest point, s.</param>
    public bool IsToLearn(double seconds) => double.IsInfinity(_most) || !(seconds - _learntAt < LearnSeconds);

    /// <summary>It was learnt.</summary>
    /// <param name="seconds">Time of the newest point, s.</param>
    public void Learnt(double seconds) => _learntAt = seconds;

    /// <summary>Whether no kink can save as much as a turn does; the newest point is taken in.</summary>
    /// <param name="ramp">The readings; a point was just completed.</param>
    /// <param name="sinceSeconds">Readings before this time belong to another band, s.</param>
    /// <param name="needed">Square of the deviations of a turn.</param>
    public bool Lasts(RampEstimator ramp, double sinceSeconds, double needed)
    {
        var (seconds, celsius, weight) = ramp.Newest;
        var follows = ramp.Completed == _completed + 1;
        _completed = ramp.Completed;
        if (!follows || IsToLearn(seconds) || sinceSeconds != _since || ramp.Revised)
        {
            return false;
        }

        var distance = celsius - _level - (_slope * (seconds - _centre));
        _most += weight * distance * distance / _variance;
        return _most < needed;
    }

    /// <summary>The places were looked through.</summary>
    /// <param name="sinceSeconds">Readings before this time belong to another band, s.</param>
    /// <param name="fit">The line without a kink, and what it leaves.</param>
    /// <param name="centre">Mean time of the points, s, and their mean value, °C.</param>
    /// <param name="saved">The most squares that a kink saves, °C².</param>
    public void Begin(double sinceSeconds, in KinkFit fit, (double Seconds, double Celsius) centre, double saved)
    {
        (_since, _centre, _level, _slope) = (sinceSeconds, centre.Seconds, centre.Celsius, fit.Slope);
        (_variance, _most) = (fit.LineSquares / fit.Freedom, fit.Freedom < LeastFreedom ? double.PositiveInfinity : (BetweenPlaces * fit.Significance(saved)) + Beside);
    }
}
