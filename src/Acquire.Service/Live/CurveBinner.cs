using Acquire.Core.Readings;

namespace Acquire.Service.Live;

/// <summary>Turns rows into curve points, a fifth of a second each. The live curve and the curve of an archived run come from this one class, so they are identical.</summary>
/// <remarks>
/// A fifth without rows becomes a point without values, so that a hole keeps its width. A hole longer than <see cref="LongestDrawnHoleSeconds"/>
/// becomes a single such point: enough to break the line, too little to fill the memory. A row older than the open fifth adds nothing to the curve;
/// it is in the archive and the supervisor judges it.
/// </remarks>
public sealed class CurveBinner
{
    /// <summary>Width of a point, s.</summary>
    public const double PointSeconds = 0.2;

    /// <summary>A longer hole is drawn as one empty point, s.</summary>
    public const double LongestDrawnHoleSeconds = 3600;

    private const double PointsPerSecond = 5;
    private const double FarthestSeconds = 1e9;

    // A time such as 4.6 s may come out a hair below its fifth; a microsecond is far below any channel's own time step.
    private const double EdgeTolerance = 1e-6;

    private bool _started;
    private bool _open;
    private bool _flameLast;
    private double _index;
    private double _sum;
    private int _count;
    private double? _low;
    private double? _high;
    private double? _secondLow;
    private double? _secondHigh;
    private bool _flameRead;
    private bool _flame;

    /// <summary>Takes one row, and adds every point it completes.</summary>
    public void Add(in ReadingRow row, ICollection<CurvePoint> completed)
    {
        ArgumentNullException.ThrowIfNull(completed);
        if (!(Math.Abs(row.AtSeconds) <= FarthestSeconds))
        {
            return;
        }

        var index = Math.Floor((row.AtSeconds * PointsPerSecond) + EdgeTolerance);
        if (_open && index < _index)
        {
            return;
        }

        if (!_open || index > _index)
        {
            Finish(completed);
            Bridge(index, completed);
            Open(index);
        }

        Take(row);
    }

    /// <summary>Completes the open point at the end of a record.</summary>
    public void Finish(ICollection<CurvePoint> completed)
    {
        ArgumentNullException.ThrowIfNull(completed);
        if (!_open)
        {
            return;
        }

        // Some testers tell only when the flame moves: while other readings arrive, its last known place holds.
        var flame = _flameRead ? _flame : _flameLast;
        double? mean = _count > 0 ? Math.Round(_sum / _count, 4) : null;
        completed.Add(new(Middle(_index), mean, _low, _high, flame) { SecondDetectorLow = _secondLow, SecondDetectorHigh = _secondHigh });
        _open = false;
        _started = true;
    }

    private void Bridge(double index, ICollection<CurvePoint> completed)
    {
        if (!_started)
        {
            return;
        }

        var missing = index - _index - 1;
        var drawn = missing > LongestDrawnHoleSeconds * PointsPerSecond ? 1 : missing;
        for (var step = 1; step <= drawn; step++)
        {
            completed.Add(new(Middle(_index + step), null, null, null, false));
        }
    }

    private void Open(double index)
    {
        (_open, _index, _sum, _count, _low, _high, _flameRead, _flame) = (true, index, 0, 0, null, null, false, false);
        (_secondLow, _secondHigh) = (null, null);
    }

    private void Take(in ReadingRow row)
    {
        if (row.HasSoundTemperature)
        {
            _sum += row.TemperatureCelsius;
            _count++;
        }

        if (row.Has(RowChannels.Detector))
        {
            Widen(ref _low, ref _high, row.Detector);
        }

        if (row.Has(RowChannels.SecondDetector))
        {
            Widen(ref _secondLow, ref _secondHigh, row.SecondDetector);
        }

        if (row.Has(RowChannels.Flame))
        {
            _flameRead = true;
            _flame |= row.FlameOver;
            _flameLast = row.FlameOver;
        }
    }

    private static void Widen(ref double? low, ref double? high, double value)
    {
        low = low is { } lowest ? Math.Min(lowest, value) : value;
        high = high is { } highest ? Math.Max(highest, value) : value;
    }

    private static double Middle(double index) => ((2 * index) + 1) / (2 * PointsPerSecond);
}
