using System.Text.Json.Serialization;

namespace Acquire.Core.Detection;

/// <summary>Measures the ramp rate from thermometer readings.</summary>
/// <remarks>
/// Readings are first averaged over stretches of <see cref="BinSeconds"/>; a line is then fitted to the stretches by least
/// squares, each weighed by its readings, which is the estimator of least variance for a straight ramp in white noise: var = 12 s²/(f W³) for noise s,
/// f readings a second and window W (standard result of linear regression). The rate belongs to the middle of the window.
/// Real timestamps are used throughout, so uneven spacing and lost readings do not bias it. Points that stand out of the line
/// around them for a moment, as by a wild reading or a flame that warms the thermometer, are kept out of the lines
/// (<see cref="StrayPoints"/>).
/// Not thread-safe; belongs to one run and is part of its snapshot.
/// </remarks>
public sealed class RampEstimator
{
    /// <summary>Readings within this time are averaged to one point, s.</summary>
    public const double BinSeconds = 0.2;

    /// <summary>Window of the rate that goes on record, s.</summary>
    public const double RecordWindowSeconds = 30;

    /// <summary>Window of the rate over the last seconds, s.</summary>
    public const double WarningWindowSeconds = 12;

    /// <summary>Averaged points held at most.</summary>
    internal const int MostPoints = 256;

    // Readings that come on the dot may carry times that are a little off.
    private const double FullSeconds = 0.98 * BinSeconds;

    // A point on the edge of a window belongs to it.
    private const double RoundingSeconds = 1e-9;

    private const int Mask = MostPoints - 1;

    [JsonInclude]
    private double[] _times = new double[MostPoints];

    [JsonInclude]
    private double[] _values = new double[MostPoints];

    // Readings in each point.
    [JsonInclude]
    private double[] _weights = new double[MostPoints];

    [JsonInclude]
    private StrayPoints _strays = new();

    [JsonInclude]
    private int _count;

    [JsonInclude]
    private double _binStart;

    [JsonInclude]
    private double _last = double.NaN;

    [JsonInclude]
    private int _binCount;

    [JsonInclude]
    private double _timeSum;

    [JsonInclude]
    private double _valueSum;

    [JsonIgnore]
    private readonly RampSums _sums = new();

    // Lines over both windows that end with the newest point, made with it: many ask for them.
    [JsonInclude]
    private LineFit? _newest;

    [JsonInclude]
    private LineFit? _record;

    /// <summary>Averaged points held so far, at most 256.</summary>
    public int Points => Math.Min(_count, MostPoints);

    /// <summary>Averaged points completed in the run.</summary>
    internal int Completed => _count;

    /// <summary>The newest averaged point: its time, s, its value, °C, and the readings in it.</summary>
    internal (double Seconds, double Celsius, double Readings) Newest => (_times[(_count - 1) & Mask], _values[(_count - 1) & Mask], _weights[(_count - 1) & Mask]);

    /// <summary>Whether older points were called strays, or not any more, as the newest came.</summary>
    [JsonInclude]
    internal bool Revised { get; private set; }

    /// <summary>Time of the newest averaged point, s; not a number before the first.</summary>
    public double NewestSeconds => _count == 0 ? double.NaN : _times[(_count - 1) & Mask];

    /// <summary>Adds a reading; returns whether an averaged point was completed.</summary>
    /// <param name="seconds">Time, s; later than the reading before.</param>
    /// <param name="celsius">Temperature, °C.</param>
    public bool Add(double seconds, double celsius)
    {
        if (_binCount == 0)
        {
            _binStart = seconds;
            _timeSum = 0;
            _valueSum = 0;
        }

        _binCount++;
        _timeSum += seconds;
        _valueSum += celsius;

        // Complete with the reading after which the next one, if it comes as this one did, would be too late: nothing waits for it.
        var spacing = seconds - _last;
        _last = seconds;
        if (!(seconds + spacing - _binStart >= FullSeconds))
        {
            return false;
        }

        Complete();
        return true;
    }

    /// <summary>Line through the averaged points of a window that ends with the newest one; null with fewer than four points or where they span less than 80 % of the window.</summary>
    /// <param name="windowSeconds">Length of the window, s; at most 50.</param>
    /// <param name="notBeforeSeconds">Points before this time are left out, s.</param>
    public LineFit? Fit(double windowSeconds, double notBeforeSeconds)
    {
        if (_count == 0)
        {
            return null;
        }

        var newest = NewestSeconds;
        if ((windowSeconds is WarningWindowSeconds or RecordWindowSeconds) && notBeforeSeconds <= newest - windowSeconds)
        {
            return windowSeconds == WarningWindowSeconds ? _newest : _record;
        }

        return Window(windowSeconds, Math.Max(newest - windowSeconds, notBeforeSeconds));
    }

    /// <summary>Temperature as read at a time: a short line through the points around it, °C; null without readings nearby.</summary>
    /// <param name="seconds">The time, s; at most 50 s in the past.</param>
    public double? ReadAt(double seconds)
    {
        if (FitBetween(seconds - 3, seconds + 1.5, strays: true) is { SpanSeconds: >= 0.7 } fit && fit.CentreSeconds + fit.SpanSeconds >= seconds)
        {
            return fit.At(seconds);
        }

        return _binCount > 0 ? _valueSum / _binCount : _count > 0 ? _values[(_count - 1) & Mask] : null;
    }

    /// <summary>Mean of the newest averaged points, °C; null before the first.</summary>
    /// <param name="seconds">How far back they go, s; at most 50.</param>
    public double? MeanOver(double seconds)
    {
        var (sum, count) = (0.0, 0);
        for (var i = _count - 1; i >= Oldest && _times[i & Mask] > NewestSeconds - seconds; i--)
        {
            sum += _values[i & Mask];
            count++;
        }

        return count > 0 ? sum / count : null;
    }

    /// <summary>Time from a moment to the averaged point nearest to it, s; infinite where none is held.</summary>
    /// <param name="seconds">The moment, s; at most 50 s in the past.</param>
    public double SecondsToNearest(double seconds)
    {
        var nearest = _binCount > 0 ? Math.Abs((_timeSum / _binCount) - seconds) : double.PositiveInfinity;
        for (var i = _count - 1; i >= Oldest; i--)
        {
            nearest = Math.Min(nearest, Math.Abs(_times[i & Mask] - seconds));
        }

        return nearest;
    }

    /// <summary>Line through the averaged points between two times; null with fewer than four points or where they span less than 80 % of the time between.</summary>
    /// <param name="fromSeconds">First time, s.</param>
    /// <param name="toSeconds">Last time, s; at most 50 s in the past.</param>
    public LineFit? Between(double fromSeconds, double toSeconds) =>
        _count > 0 && FitBetween(fromSeconds, toSeconds, strays: false) is { } line && line.SpanSeconds >= 0.8 * (toSeconds - fromSeconds) ? line : null;

    /// <summary>How coarse the ramp is: the most that a course which the line over some seconds cannot follow, as that of a coarse display, may feign of a rate in a window, °C/s.</summary>
    /// <param name="windowSeconds">Length of the window, s.</param>
    public double Feigned(double windowSeconds) => _strays.Feigned(windowSeconds);

    private int Oldest => Math.Max(0, _count - MostPoints);

    private void Complete()
    {
        var (time, value) = (_timeSum / _binCount, _valueSum / _binCount);
        _times[_count & Mask] = time;
        _values[_count & Mask] = value;
        _weights[_count & Mask] = _binCount;
        _strays.Enter(_count);
        _count++;
        _binCount = 0;
        Revised = _newest is { } line && _strays.Judge(_times, _values, _count, line);
        _sums.Take(_times, _values, _weights, _strays.Flags, _count, Revised);
        _record = Line(time - RecordWindowSeconds - time, RecordWindowSeconds, RampWindow.Record);
        _newest = Line(-(WarningWindowSeconds + RoundingSeconds), WarningWindowSeconds, RampWindow.Warning);
    }

    private LineFit? Line(double fromX, double seconds, RampWindow window) =>
        _sums.From(fromX, window, out var oldestX) is { Points: >= 4 } sums && -oldestX >= 0.8 * seconds ? LineFit.Of(sums, _sums.ZeroSeconds, _sums.Level, -oldestX) : null;

    private LineFit? Window(double windowSeconds, double from) =>
        FitBetween(from, NewestSeconds, strays: false) is { } line && line.SpanSeconds >= 0.8 * windowSeconds ? line : null;

    /// <summary>Sums over the averaged points, as of the newest; made anew where the ramp came out of a snapshot.</summary>
    internal RampSums Sums
    {
        get
        {
            if (_count > 0 && _sums.Count != _count)
            {
                _sums.Take(_times, _values, _weights, _strays.Flags, _count, changed: true);
            }

            return _sums;
        }
    }

    /// <summary>Copies the points that the sums hold, the newest first.</summary>
    /// <returns>How many.</returns>
    internal int Copy(double seconds, double since, Span<double> x, Span<double> y, Span<double> weights)
    {
        var n = 0;
        var (newest, value) = (NewestSeconds, _values[(_count - 1) & Mask]);
        var from = Math.Max(newest - seconds, since);
        for (var i = _count - 1; i >= Oldest && _times[i & Mask] >= from; i--)
        {
            if (!_strays.Has(i))
            {
                (x[n], y[n], weights[n]) = (_times[i & Mask] - newest, _values[i & Mask] - value, _weights[i & Mask]);
                n++;
            }
        }

        return n;
    }

    private LineFit? FitBetween(double from, double to, bool strays)
    {
        RampMoments sums = default;
        double first = 0, last = 0, zero = 0, level = 0;
        for (var i = _count - 1; i >= Oldest && _times[i & Mask] >= from; i--)
        {
            var t = _times[i & Mask];
            if (t > to || (!strays && _strays.Has(i)))
            {
                continue;
            }

            if (sums.Points == 0)
            {
                (last, zero, level) = (t, t, _values[i & Mask]);
            }

            first = t;
            sums = sums.With(t - zero, _values[i & Mask] - level, _weights[i & Mask]);
        }

        return sums.Points < 4 ? null : LineFit.Of(sums, zero, level, last - first);
    }
}
