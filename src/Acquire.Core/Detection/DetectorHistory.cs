using System.Text.Json.Serialization;

namespace Acquire.Core.Detection;

/// <summary>The newest detector readings, in order of time.</summary>
/// <remarks>Holds 8,192 readings: 16 s at 500 readings a second. Not thread-safe; part of a run's snapshot.</remarks>
public sealed class DetectorHistory
{
    /// <summary>Times closer than this are the same to a window's end, s: far below any time between readings.</summary>
    internal const double RoundingSeconds = 1e-6;

    private const int Capacity = 8192;

    // So many readings from where it is thought to be a time is looked for first.
    private const int FarthestAside = 15;

    [JsonInclude]
    private double[] _times = new double[Capacity];

    [JsonInclude]
    private double[] _values = new double[Capacity];

    [JsonInclude]
    private int _next;

    [JsonInclude]
    private int _count;

    /// <summary>Readings held.</summary>
    public int Count => _count;

    /// <summary>Time of the newest reading, s; not a number before the first.</summary>
    public double NewestSeconds => _count == 0 ? double.NaN : _times[Slot(_count - 1)];

    /// <summary>Time of the oldest reading held, s; not a number before the first.</summary>
    public double OldestSeconds => _count == 0 ? double.NaN : _times[Slot(0)];

    /// <summary>Adds a reading.</summary>
    /// <param name="seconds">Time, s; later than the reading before.</param>
    /// <param name="value">Value in the detector's own unit; finite.</param>
    /// <returns>Time since the reading before, s; positive infinity for the first.</returns>
    public double Add(double seconds, double value)
    {
        var spacing = _count == 0 ? double.PositiveInfinity : seconds - _times[(_next - 1) & (Capacity - 1)];
        _times[_next] = seconds;
        _values[_next] = value;
        _next = (_next + 1) & (Capacity - 1);
        _count = Math.Min(_count + 1, Capacity);
        return spacing;
    }

    /// <summary>Time between the newest two readings, s; positive infinity before there are two.</summary>
    public double NewestSpacingSeconds => _count < 2 ? double.PositiveInfinity : _times[Slot(_count - 1)] - _times[Slot(_count - 2)];

    /// <summary>Copies the readings from one time to another, ends included.</summary>
    public DetectorStretch Between(double from, double to)
    {
        var (first, end) = Extent(from, to);
        var times = WindowRoom.Take(end - first);
        var values = WindowRoom.Take(end - first);
        Copy(_times, first, times);
        Copy(_values, first, values);
        return new DetectorStretch(times, values);
    }

    /// <summary>The same, into memory that is kept from one time to the next.</summary>
    /// <param name="from">First time, s.</param>
    /// <param name="to">Last time, s.</param>
    /// <param name="times">Filled from its beginning; replaced where it is too short.</param>
    /// <param name="values">Likewise.</param>
    /// <returns>Readings copied.</returns>
    internal int Between(double from, double to, ref double[] times, ref double[] values)
    {
        var (first, end) = Extent(from, to);
        if (times.Length < end - first)
        {
            (times, values) = (new double[end - first + ((end - first) / 2)], new double[end - first + ((end - first) / 2)]);
        }

        Copy(_times, first, times.AsSpan(0, end - first));
        Copy(_values, first, values.AsSpan(0, end - first));
        return end - first;
    }

    // Readings at the very ends are in, however their times are rounded.
    private (int First, int End) Extent(double from, double to)
    {
        var first = LowerBound(from - RoundingSeconds);
        return (first, Math.Max(first, LowerBound(Math.BitIncrement(to + RoundingSeconds))));
    }

    private void Copy(double[] ring, int first, Span<double> target)
    {
        var slot = Slot(first);
        var atOnce = Math.Min(target.Length, Capacity - slot);
        ring.AsSpan(slot, atOnce).CopyTo(target);
        ring.AsSpan(0, target.Length - atOnce).CopyTo(target[atOnce..]);
    }

    // First reading at a time or after it. Readings come evenly or nearly so: it stands where the newest spacing tells, or a little aside.
    private int LowerBound(double seconds)
    {
        var (low, high) = (0, _count);
        var guess = _count - 1 - ((NewestSeconds - seconds) / NewestSpacingSeconds);
        if (guess > 0 && guess < _count)
        {
            var place = (int)Math.Ceiling(guess);
            (low, high) = Aside(place, 0, seconds);
            (low, high) = low == high ? (low, high) : Aside(place, FarthestAside, seconds);
        }

        while (low < high)
        {
            var middle = (low + high) / 2;
            if (_times[Slot(middle)] < seconds)
            {
                low = middle + 1;
            }
            else
            {
                high = middle;
            }
        }

        return low;
    }

    // Narrower bounds of where it stands, if it is so near to a place.
    private (int Low, int High) Aside(int place, int aside, double seconds)
    {
        var (low, high) = (Math.Max(0, place - aside), Math.Min(_count, place + aside));
        return (low > 0 && _times[Slot(low - 1)] < seconds ? low : 0, high < _count && _times[Slot(high)] >= seconds ? high : _count);
    }

    // Ring position of the i-th oldest reading.
    private int Slot(int index) => (_next - _count + index + Capacity) & (Capacity - 1);
}
