namespace Acquire.Core.Detection;

/// <summary>The readings of a quiet stretch without their spikes; its memory is kept from one stretch to the next.</summary>
internal sealed class QuietReadings
{
    // Single readings that stand so many deviations out of both their neighbours are spikes.
    private const double SpikeDeviations = 5;

    private double[] _times = [];
    private double[] _values = [];

    /// <summary>Times, s.</summary>
    public double[] Times => _times;

    /// <summary>Values, detector's unit.</summary>
    public double[] Values => _values;

    /// <summary>Room for as many values.</summary>
    public double[] Work { get; private set; } = [];

    /// <summary>Takes in the readings between two times.</summary>
    /// <returns>How many there are.</returns>
    public int Take(DetectorHistory history, double from, double to)
    {
        var n = history.Between(from, to, ref _times, ref _values);
        if (Work.Length < n)
        {
            Work = new double[n + (n / 2)];
        }

        if (n >= 3)
        {
            RemoveSpikes(n);
        }

        return n;
    }

    private void RemoveSpikes(int n)
    {
        for (var i = 0; i < n - 1; i++)
        {
            Work[i] = _values[i + 1] - _values[i];
        }

        // The difference of two readings with independent noise has twice its variance.
        var limit = SpikeDeviations * Robust.ScaleInPlace(Work.AsSpan(0, n - 1)) / Math.Sqrt(2);
        for (var i = 1; i < n - 1; i++)
        {
            var middle = Robust.Median3(_values[i - 1], _values[i], _values[i + 1]);
            Work[i] = Math.Abs(_values[i] - middle) > limit ? middle : _values[i];
        }

        Work.AsSpan(1, n - 2).CopyTo(_values.AsSpan(1));
    }
}
