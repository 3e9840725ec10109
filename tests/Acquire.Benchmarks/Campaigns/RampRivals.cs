using Acquire.Core.Detection;

namespace Acquire.Benchmarks.Campaigns;

/// <summary>Tells whether the rate is above or below its band, reading by reading.</summary>
internal abstract class RampRival
{
    /// <summary>Takes a reading; whether it calls now.</summary>
    public abstract bool Take(double seconds, double celsius);
}

/// <summary>The watch in use.</summary>
internal sealed class WatchRival(double limit, int side, bool onlyTurns = false) : RampRival
{
    private readonly RampEstimator _ramp = new();
    private readonly BandEndWatch _watch = new();

    public override bool Take(double seconds, double celsius) =>
        _ramp.Add(seconds, celsius)
        && (onlyTurns ? _ramp.Turned(double.NegativeInfinity, limit / 60, side) is not null : _watch.Look(_ramp, double.NegativeInfinity, limit, side, 0.1) is not null);
}

/// <summary>A line through the last seconds and nothing else; with the rate it is going to have if it goes on growing.</summary>
internal sealed class WindowRival(double limit, double windowSeconds, bool projected, double margin = 0) : RampRival
{
    private readonly List<(double X, double Y)> _points = [];
    private double _binStart;
    private double _x;
    private double _y;
    private int _count;

    public override bool Take(double seconds, double celsius)
    {
        var completed = _count > 0 && seconds - _binStart >= RampEstimator.BinSeconds;
        if (completed)
        {
            _points.Add((_x / _count, _y / _count));
            _count = 0;
        }

        if (_count == 0)
        {
            (_binStart, _x, _y) = (seconds, 0, 0);
        }

        (_x, _y, _count) = (_x + seconds, _y + celsius, _count + 1);
        return completed && Calls();
    }

    private bool Calls()
    {
        var newest = _points[^1].X;
        if (newest - _points[0].X < windowSeconds)
        {
            return false;
        }

        var (rate, u, centre) = Line(newest - windowSeconds, newest);
        if (rate > limit + (margin > 0 ? margin : Math.Max(0.1, 2.5 * u)))
        {
            return true;
        }

        if (!projected || newest - _points[0].X < 2 * windowSeconds || rate <= limit - 0.5)
        {
            return false;
        }

        // As it was used before there was a test for turns: the growth from one window to the next, 4.25 deviations sure, 12 s ahead.
        var (before, uBefore, centreBefore) = Line(newest - (2 * windowSeconds), newest - windowSeconds);
        return rate - before > 4.25 * Math.Sqrt((u * u) + (uBefore * uBefore))
            && rate + ((rate - before) / (centre - centreBefore) * (newest + 12 - centre)) > limit + 0.1;
    }

    private (double Rate, double Uncertainty, double Centre) Line(double from, double to)
    {
        double n = 0, x = 0, y = 0, xx = 0, xy = 0, yy = 0;
        for (var i = _points.Count - 1; i >= 0 && _points[i].X >= from; i--)
        {
            var (dx, dy) = (_points[i].X - to, _points[i].Y - _points[^1].Y);
            if (dx <= 0)
            {
                (n, x, y, xx, xy, yy) = (n + 1, x + dx, y + dy, xx + (dx * dx), xy + (dx * dy), yy + (dy * dy));
            }
        }

        var spread = xx - (x * x / n);
        var slope = (xy - (x * y / n)) / spread;
        var left = Math.Max(0, yy - (y * y / n) - (slope * (xy - (x * y / n)))) / (n - 2);
        return (slope * 60, Math.Sqrt(left / spread) * 60, to + (x / n));
    }
}
