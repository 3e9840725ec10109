namespace Acquire.Core.Detection;

/// <summary>All flashes that are looked for in a window: each shape at each onset, as values at the points.</summary>
internal sealed class FlashGrid
{
    /// <summary>Time between onsets, s.</summary>
    public const double StepSeconds = 0.01;

    /// <summary>A burn needs to be seen for so long after its onset to be one, s.</summary>
    public const double LeastSeenSeconds = 0.3;

    private readonly List<Flash> _flashes = [];
    private readonly List<double> _values = [];

    /// <summary>One flash: its values at the points from <paramref name="First"/> on, of which there are <paramref name="Length"/>; behind them 1 to the end where it burns, 0 where not.</summary>
    /// <param name="Shape">Which of the <see cref="FlashShapes"/>.</param>
    /// <param name="OnsetSeconds">After the first point, s.</param>
    /// <param name="First">First point with a value.</param>
    /// <param name="Length">Points with a value of their own.</param>
    /// <param name="Offset">Where its values stand.</param>
    public readonly record struct Flash(int Shape, double OnsetSeconds, int First, int Length, int Offset);

    /// <summary>Makes the flashes for points at given times.</summary>
    /// <param name="times">s, growing.</param>
    /// <param name="spacing">Usual time between them, s.</param>
    /// <param name="from">Earliest onset, s.</param>
    /// <param name="to">Latest onset, s.</param>
    public FlashGrid(ReadOnlySpan<double> times, double spacing, double from, double to)
    {
        Fill(times, spacing, from, to);

        // It is kept with its model, as one of hundreds.
        _flashes.TrimExcess();
        _values.TrimExcess();
    }

    /// <summary>Memory for flashes, which is filled again and again.</summary>
    public FlashGrid()
    {
    }

    /// <summary>Makes the flashes anew, for other points.</summary>
    /// <param name="times">s, growing.</param>
    /// <param name="spacing">Usual time between them, s.</param>
    /// <param name="from">Earliest onset, s.</param>
    /// <param name="to">Latest onset, s.</param>
    public void Fill(ReadOnlySpan<double> times, double spacing, double from, double to)
    {
        _flashes.Clear();
        _values.Clear();
        for (var shape = 0; shape < FlashShapes.Count; shape++)
        {
            if (FlashShapes.IsDouble(shape, spacing))
            {
                continue;
            }

            for (var k = (int)Math.Ceiling((from - times[0]) / StepSeconds - 1e-6); times[0] + (k * StepSeconds) <= to + 1e-9; k++)
            {
                Add(shape, times[0] + (k * StepSeconds), times, spacing);
            }
        }
    }

    /// <summary>What it takes of the memory, in numbers of 8 bytes.</summary>
    public int Size => _values.Count + (4 * _flashes.Count);

    /// <summary>How many there are.</summary>
    public int Count => _flashes.Count;

    /// <summary>One of them.</summary>
    public Flash this[int index] => _flashes[index];

    /// <summary>Its values.</summary>
    public ReadOnlySpan<double> Values(in Flash flash) => System.Runtime.InteropServices.CollectionsMarshal.AsSpan(_values).Slice(flash.Offset, flash.Length);

    private void Add(int shape, double onset, ReadOnlySpan<double> times, double spacing)
    {
        var n = times.Length;
        var burns = shape == FlashShapes.Burning;
        if (burns && times[n - 1] - onset < LeastSeenSeconds)
        {
            return;
        }

        var first = 0;
        while (first < n && times[first] < onset)
        {
            first++;
        }

        var offset = _values.Count;
        var last = onset + FlashShapes.SupportSeconds(shape, spacing);
        for (var i = first; i < n && times[i] < last; i++)
        {
            var value = FlashShapes.At(shape, times[i] - onset, spacing);
            if (burns && value >= 1)
            {
                break;
            }

            _values.Add(value);
        }

        if (first < n && (burns || _values.Count > offset))
        {
            _flashes.Add(new(shape, onset - times[0], first, _values.Count - offset, offset));
        }
    }
}
