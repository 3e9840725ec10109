using System.Text.Json.Serialization;

namespace Acquire.Core.Detection;

/// <summary>Measures the ramp rate from thermometer readings.</summary>
/// <remarks>
/// Readings are first averaged over stretches of <see cref="BinSeconds"/>; a line is then fitted to the stretches by least
/// squares, which is the estimator of least variance for a straight ramp in white noise: var = 12 s²/(f W³) for noise s,
/// f readings a second and window W (standard result of linear regression). The rate belongs to the middle of the window.
/// Real timestamps are used throughout, so uneven spacing and lost readings do not bias it.
/// Not thread-safe; belongs to one run and is part of its snapshot.
/// </remarks>
public sealed class RampEstimator
{
    /// <summary>Readings within this time are averaged to one point, s.</summary>
    public const double BinSeconds = 0.25;

    /// <summary>Window of the rate that goes on record, s.</summary>
    public const double RecordWindowSeconds = 30;

    /// <summary>Window of the rate that warns early, s.</summary>
    public const double WarningWindowSeconds = 12;

    private const int Capacity = 256;

    [JsonInclude]
    private double[] _times = new double[Capacity];

    [JsonInclude]
    private double[] _values = new double[Capacity];

    [JsonInclude]
    private int _count;

    [JsonInclude]
    private double _binStart;

    [JsonInclude]
    private int _binCount;

    [JsonInclude]
    private double _timeSum;

    [JsonInclude]
    private double _valueSum;

    /// <summary>Averaged points held so far, at most 256.</summary>
    public int Points => Math.Min(_count, Capacity);

    /// <summary>Time of the newest averaged point, s; not a number before the first.</summary>
    public double NewestSeconds => _count == 0 ? double.NaN : _times[(_count - 1) % Capacity];

    /// <summary>Adds a reading; returns whether an averaged point was completed.</summary>
    /// <param name="seconds">Time, s; later than the reading before.</param>
    /// <param name="celsius">Temperature, °C.</param>
    public bool Add(double seconds, double celsius)
    {
        var completed = _binCount > 0 && seconds - _binStart >= BinSeconds;
        if (completed)
        {
            _times[_count % Capacity] = _timeSum / _binCount;
            _values[_count % Capacity] = _valueSum / _binCount;
            _count++;
            _binCount = 0;
        }

        if (_binCount == 0)
        {
            _binStart = seconds;
            _timeSum = 0;
            _valueSum = 0;
        }

        _binCount++;
        _timeSum += seconds;
        _valueSum += celsius;
        return completed;
    }

    /// <summary>Line through the averaged points of a window that ends with the newest one; null with fewer than four points or where they span less than 80 % of the window.</summary>
    /// <param name="windowSeconds">Length of the window, s; at most 60.</param>
    /// <param name="notBeforeSeconds">Points before this time are left out, s.</param>
    public LineFit? Fit(double windowSeconds, double notBeforeSeconds)
    {
        if (_count == 0)
        {
            return null;
        }

        var newest = NewestSeconds;
        var fit = FitBetween(Math.Max(newest - windowSeconds, notBeforeSeconds), newest);
        return fit is { } line && line.SpanSeconds >= 0.8 * windowSeconds ? line : null;
    }

    /// <summary>Temperature as read at a time: a short line through the points around it, °C; null without readings nearby.</summary>
    /// <param name="seconds">The time, s; at most a minute in the past.</param>
    public double? ReadAt(double seconds)
    {
        if (FitBetween(seconds - 3, seconds + 1.5) is { SpanSeconds: >= 0.7 } fit && fit.CentreSeconds + fit.SpanSeconds >= seconds)
        {
            return fit.At(seconds);
        }

        return _binCount > 0 ? _valueSum / _binCount : _count > 0 ? _values[(_count - 1) % Capacity] : null;
    }

    /// <summary>Mean of the newest averaged points, °C; null before the first.</summary>
    /// <param name="seconds">How far back they go, s; at most 60.</param>
    public double? MeanOver(double seconds)
    {
        var (sum, count) = (0.0, 0);
        for (var i = _count - 1; i >= 0 && i >= _count - Capacity && _times[i % Capacity] > NewestSeconds - seconds; i--)
        {
            sum += _values[i % Capacity];
            count++;
        }

        return count > 0 ? sum / count : null;
    }

    /// <summary>Time from a moment to the averaged point nearest to it, s; infinite where none is held.</summary>
    /// <param name="seconds">The moment, s; at most a minute in the past.</param>
    public double SecondsToNearest(double seconds)
    {
        var nearest = _binCount > 0 ? Math.Abs((_timeSum / _binCount) - seconds) : double.PositiveInfinity;
        for (var i = _count - 1; i >= 0 && i >= _count - Capacity; i--)
        {
            nearest = Math.Min(nearest, Math.Abs(_times[i % Capacity] - seconds));
        }

        return nearest;
    }

    /// <summary>Line through the averaged points between two times; null with fewer than four points or where they span less than 80 % of the time between.</summary>
    /// <param name="fromSeconds">First time, s.</param>
    /// <param name="toSeconds">Last time, s; at most a minute in the past.</param>
    public LineFit? Between(double fromSeconds, double toSeconds) =>
        _count > 0 && FitBetween(fromSeconds, toSeconds) is { } line && line.SpanSeconds >= 0.8 * (toSeconds - fromSeconds) ? line : null;

    private LineFit? FitBetween(double from, double to)
    {
        int n = 0;
        double timeSum = 0, valueSum = 0, first = 0, last = 0;
        for (var i = _count - 1; i >= 0 && i >= _count - Capacity && _times[i % Capacity] >= from; i--)
        {
            var t = _times[i % Capacity];
            if (t > to)
            {
                continue;
            }

            last = n == 0 ? t : last;
            first = t;
            timeSum += t;
            valueSum += _values[i % Capacity];
            n++;
        }

        return n < 4 ? null : Regress(from, to, n, timeSum / n, valueSum / n, last - first);
    }

    private LineFit Regress(double from, double to, int n, double timeMean, double valueMean, double span)
    {
        double tt = 0, tv = 0, vv = 0;
        for (var i = _count - 1; i >= 0 && i >= _count - Capacity && _times[i % Capacity] >= from; i--)
        {
            if (_times[i % Capacity] > to)
            {
                continue;
            }

            var t = _times[i % Capacity] - timeMean;
            var v = _values[i % Capacity] - valueMean;
            tt += t * t;
            tv += t * v;
            vv += v * v;
        }

        var slope = tv / tt;
        var residual = Math.Max(0, vv - (slope * tv)) / (n - 2);
        return new LineFit(timeMean, valueMean, slope, Math.Sqrt(residual / tt), n, span);
    }
}
