using Acquire.Service.Archive.Rows;

namespace Acquire.Service.Archive.Curves;

/// <summary>Lowest and highest readings of equal stretches of time. One thread at a time; two are put together by <see cref="Join"/>.</summary>
/// <param name="from">Where the first stretch begins, s.</param>
/// <param name="seconds">Length of a stretch, s.</param>
/// <param name="width">How many stretches.</param>
internal sealed class CurveStretches(double from, double seconds, int width)
{
    private readonly Extremes _temperature = new(width);
    private readonly Extremes _detector = new(width);
    private readonly Extremes _second = new(width);
    private readonly bool[] _flame = new bool[width];

    /// <summary>Adds the readings of a chunk. One whose time lies outside all stretches counts in the nearest.</summary>
    public void Add(CurveColumns rows)
    {
        var times = rows.Column(CurveColumns.Time);
        var temperatures = rows.Column(CurveColumns.Temperature);
        var detectors = rows.Column(CurveColumns.Detector);
        var others = rows.Column(CurveColumns.Second);
        var present = rows.Present;
        var scale = 1 / seconds;
        for (var i = 0; i < times.Length; i++)
        {
            var at = (int)Math.Clamp((times[i] - from) * scale, 0, width - 1);
            int bits = present[i];
            if ((bits & CurveColumns.HasTemperature) != 0)
            {
                _temperature.Add(at, temperatures[i]);
            }

            if ((bits & CurveColumns.HasDetector) != 0)
            {
                _detector.Add(at, detectors[i]);
            }

            if ((bits & CurveColumns.HasSecond) != 0)
            {
                _second.Add(at, others[i]);
            }

            _flame[at] |= (bits & (CurveColumns.HasFlame | CurveColumns.FlameOver)) == (CurveColumns.HasFlame | CurveColumns.FlameOver);
        }
    }

    /// <summary>Adds what another holds.</summary>
    public void Join(CurveStretches other)
    {
        _temperature.Join(other._temperature);
        _detector.Join(other._detector);
        _second.Join(other._second);
        for (var i = 0; i < width; i++)
        {
            _flame[i] |= other._flame[i];
        }
    }

    /// <summary>The curve.</summary>
    public RunCurve ToCurve(long rows, IReadOnlyList<CurveMark> events) => new(from, seconds, rows, _temperature.Lows, _temperature.Highs, _detector.Lows, _detector.Highs, _flame, events)
    {
        SecondDetectorLow = _second.Any ? _second.Lows : null,
        SecondDetectorHigh = _second.Any ? _second.Highs : null,
    };

    // An infinity that turned round says that there was nothing.
    private sealed class Extremes
    {
        private readonly double[] _low;
        private readonly double[] _high;

        public Extremes(int width)
        {
            (_low, _high) = (new double[width], new double[width]);
            _low.AsSpan().Fill(double.PositiveInfinity);
            _high.AsSpan().Fill(double.NegativeInfinity);
        }

        public bool Any => Array.Exists(_low, low => !double.IsPositiveInfinity(low));

        public double?[] Lows => Array.ConvertAll(_low, low => double.IsPositiveInfinity(low) ? (double?)null : low);

        public double?[] Highs => Array.ConvertAll(_high, high => double.IsNegativeInfinity(high) ? (double?)null : high);

        public void Add(int at, double value)
        {
            // What is no number, or infinite, cannot be drawn and changes nothing.
            if (value < _low[at] && value > double.NegativeInfinity)
            {
                _low[at] = value;
            }

            if (value > _high[at] && value < double.PositiveInfinity)
            {
                _high[at] = value;
            }
        }

        public void Join(Extremes other)
        {
            for (var i = 0; i < _low.Length; i++)
            {
                (_low[i], _high[i]) = (Math.Min(_low[i], other._low[i]), Math.Max(_high[i], other._high[i]));
            }
        }
    }
}
