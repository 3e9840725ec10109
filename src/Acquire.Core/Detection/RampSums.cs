using System.Runtime.CompilerServices;

namespace Acquire.Core.Detection;

/// <summary>Sums over the averaged points of a ramp up to each of them, so that those over any stretch are a difference of two.</summary>
/// <remarks>
/// They are counted from one of the newest 64 points, forwards and backwards, and from none before a silence longer than any window:
/// sums over a whole run, or over a clock that was set, would lose their
/// digits to cancellation, these are small where stretches are short, and at five points a second span no more than a minute and some ten degrees.
/// They follow from the points alone, so they are no part of a snapshot.
/// </remarks>
internal sealed class RampSums
{
    private const int Most = RampEstimator.MostPoints;
    private const int Mask = Most - 1;
    private const int RenewAfter = 64;

    // Points farther apart are in no window together.
    private const double ApartSeconds = 60;

    // Places for the sums: those of all points held, and of as many as come before they are made anew.
    private const int SumMask = (2 * Most) - 1;

    /// <summary>Most places for a turn.</summary>
    public const int MostPlaces = 24;

    private readonly RampMoments[] _upTo = new RampMoments[2 * Most];
    private double[] _times = [];
    private double[] _values = [];
    private double[] _weights = [];
    private bool[] _strays = [];
    private int _first;
    private int _count;

    // How far back the next place was found last, by how far back the one before it is: where points come evenly it is there again.
    private readonly int[] _next = new int[Most];

    // How many points back each window began last.
    private readonly int[] _backs = new int[(int)RampWindow.Turn + 1];

    /// <summary>Number of points in the run.</summary>
    public int Count => _count;

    /// <summary>Time that the times in the sums are relative to, s.</summary>
    public double ZeroSeconds { get; private set; }

    /// <summary>Value that the values in the sums are relative to, °C.</summary>
    public double Level { get; private set; }

    /// <summary>Time of the newest point, s.</summary>
    public double NewestSeconds => _times[(_count - 1) & Mask];

    /// <summary>Takes in the points after one was completed.</summary>
    /// <param name="times">Times in their places, s.</param>
    /// <param name="values">Values, °C.</param>
    /// <param name="weights">Readings in each.</param>
    /// <param name="strays">Whether each stands out, and is left out.</param>
    /// <param name="count">Number of points in the run; at least 1.</param>
    /// <param name="changed">Whether others than the newest have changed.</param>
    public void Take(double[] times, double[] values, double[] weights, bool[] strays, int count, bool changed)
    {
        // The same points have the same sums, whether they came one by one or out of a snapshot.
        var known = !changed && count == _count + 1;
        (_times, _values, _weights, _strays, _count) = (times, values, weights, strays, count);
        if (!known || ((count - 1) & (RenewAfter - 1)) == 0 || IsApart(count - 1))
        {
            Renew();
        }
        else
        {
            _first = Math.Max(0, count - Most);
            _upTo[(count - 1) & SumMask] = With(_upTo[(count - 2) & SumMask], count - 1, 1);
        }
    }

    private bool IsApart(int point) => point > 0 && _times[point & Mask] - _times[(point - 1) & Mask] > ApartSeconds;

    private void Renew()
    {
        var zero = _count - 1;
        for (; (zero & (RenewAfter - 1)) != 0 && !IsApart(zero); zero--)
        {
        }

        (_first, ZeroSeconds, Level) = (Math.Max(0, _count - Most), _times[zero & Mask], _values[zero & Mask]);
        var upTo = _upTo;
        RampMoments sums = default;
        for (var i = zero; i >= _first; i--)
        {
            upTo[i & SumMask] = sums;
            sums = With(sums, i, -1);
        }

        (upTo[(_first - 1) & SumMask], sums) = (sums, default);
        for (var i = zero + 1; i < _count; i++)
        {
            sums = With(sums, i, 1);
            upTo[i & SumMask] = sums;
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private RampMoments With(in RampMoments sums, int point, double sign)
    {
        var at = point & Mask;
        return _strays[at] ? sums : sums.With(_times[at] - ZeroSeconds, _values[at] - Level, sign * _weights[at], sign);
    }

    /// <summary>Sums over the points from a time on.</summary>
    /// <param name="fromX">The time, s relative to the newest point.</param>
    /// <param name="window">Who asks: the first of them is nearly always as many points back as it was for them before.</param>
    /// <param name="oldestX">Time of the oldest point among them, s relative to the newest; 0 where there is none.</param>
    public RampMoments From(double fromX, RampWindow window, out double oldestX)
    {
        ref var back = ref _backs[(int)window];
        var (newest, last) = (NewestSeconds, _count - 1);
        var first = last - back;
        if (first <= _first || first > last || _strays[first & Mask] || !(_times[first & Mask] - newest >= fromX) || _times[(first - 1) & Mask] - newest >= fromX)
        {
            first = Math.Clamp(first, _first, last);
            for (; first > _first && _times[(first - 1) & Mask] - newest >= fromX; first--)
            {
            }

            for (; first < _count && (_strays[first & Mask] || !(_times[first & Mask] - newest >= fromX)); first++)
            {
            }
        }

        back = last - first;
        oldestX = first == _count ? 0 : _times[first & Mask] - newest;
        return first == _count ? default : Behind(first - 1);
    }

    /// <summary>Finds places for a turn: points that are no strays.</summary>
    /// <param name="firstSeconds">Nearest place, s before the newest point.</param>
    /// <param name="ratio">Each place is so many times as far back as the one before, above 1.</param>
    /// <param name="oldestX">Farthest, s relative to the newest point.</param>
    /// <param name="places">Receives their numbers in the run; room for the most.</param>
    /// <param name="x">Receives their times, s relative to the newest point.</param>
    /// <returns>How many there are.</returns>
    public int Places(double firstSeconds, double ratio, double oldestX, Span<int> places, Span<double> x)
    {
        var (times, strays, next, first, last, newest) = (_times, _strays, _next, _first, _count - 1, NewestSeconds);
        var (count, place, before, back) = (0, -firstSeconds, last, 0);
        for (; count < MostPlaces; count++)
        {
            var i = last - next[back];
            var at = times[i & Mask] - newest;
            if (i < first || i >= before || !(at <= place && times[(i + 1) & Mask] - newest > place) || strays[i & Mask])
            {
                i = Search(Math.Clamp(i, first, before), before, place);
                at = times[i & Mask] - newest;
            }

            if (i < first || !(at >= oldestX))
            {
                break;
            }

            next[back] = last - i;
            (places[count], x[count], back, before, place) = (i, at, last - i, i, at * ratio);
        }

        return count;
    }

    // The newest point at or before a place that is no stray, from a guess on; one before the first where there is none.
    private int Search(int guess, int before, double place)
    {
        var (i, newest) = (guess, NewestSeconds);
        for (; i < before && _times[(i + 1) & Mask] - newest <= place; i++)
        {
        }

        for (; i >= _first && (_strays[i & Mask] || !(_times[i & Mask] - newest <= place)); i--)
        {
        }

        return i;
    }

    /// <summary>Sums up to the newest point.</summary>
    public ref readonly RampMoments Newest => ref _upTo[(_count - 1) & SumMask];

    /// <summary>Sums up to a point.</summary>
    /// <param name="point">Its number in the run.</param>
    public ref readonly RampMoments UpTo(int point) => ref _upTo[point & SumMask];

    /// <summary>Time of a point, s relative to the newest.</summary>
    /// <param name="point">Its number in the run.</param>
    public double X(int point) => _times[point & Mask] - NewestSeconds;

    /// <summary>Sums over the points behind a place.</summary>
    /// <param name="place">Its number in the run.</param>
    public RampMoments Behind(int place) => RampMoments.Between(UpTo(place), Newest);
}

/// <summary>A window that sums are asked for again and again.</summary>
internal enum RampWindow
{
    /// <summary>The seconds that a warning rests on.</summary>
    Warning,

    /// <summary>Those of the rate that goes on record.</summary>
    Record,

    /// <summary>Those in which a turn is looked for.</summary>
    Turn,
}
