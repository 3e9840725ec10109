using Acquire.Benchmarks.Campaigns.Flash;
using Acquire.Core.Detection;

namespace Acquire.Benchmarks.Campaigns;

/// <summary>A run as detection and ramp see it: a pass of the test flame of one second each twenty seconds, a legal ramp, one detector or two. At its end the next run begins.</summary>
internal sealed class CostPlay
{
    private const double SustainedSeconds = 5;
    private readonly PassScene _scene;
    private readonly double[] _celsius;

    // The flame signal, as it comes with each reading.
    private readonly bool[] _flame;
    private readonly List<WatchEvent> _events = new(16);
    private DetectorWatch _watch = new();
    private RampEstimator _ramp = new();
    private BandWatch _band = new();
    private int _next;
    private double _flameSeconds = double.NegativeInfinity;
    private bool _over;

    /// <param name="rowsPerSecond">Rows a second, each with a reading of the thermometer and one of each detector.</param>
    /// <param name="two">Whether a second detector confirms.</param>
    /// <param name="timeScatter">Share of the time between rows within which their times scatter, 0 to below 1.</param>
    public CostPlay(double rowsPerSecond, bool two = false, double timeScatter = 0)
    {
        _scene = PassScene.Draw(1, (two ? SceneOptions.TwoDetectors : SceneOptions.OneDetector) with { RowsPerSecond = rowsPerSecond, BarePasses = 40, FlashSigma = 0, IntervalSeconds = 20, TimeScatter = timeScatter });
        var random = new CampaignRandom(1);
        _flame = [.. _scene.Times.Select(time => _scene.Passes.Any(pass => time >= pass.Start && time <= pass.End))];
        _celsius = [.. _scene.Times.Select(time => Math.Round((100 + (5.5 / 60 * time) + (0.05 * random.Normal())) * 10) / 10)];
    }

    /// <summary>Readings of one run.</summary>
    public int Count => _celsius.Length;

    /// <summary>Readings of a run up to ten seconds before its sixth pass: from there on it is in its steady state.</summary>
    public int SteadyFrom => Array.FindIndex(_scene.Times, time => time >= _scene.Passes[5].Start - 10);

    /// <summary>The next reading, to be read and nothing else: what the loop itself costs.</summary>
    public double Read()
    {
        var i = Next();
        return _scene.Times[i] + _scene.First[i] + (_scene.Second?[i] ?? 0) + _celsius[i] + (_flame[i] ? 1 : 0);
    }

    /// <summary>The next reading, seen by the detector's watch.</summary>
    public int Detect()
    {
        var i = Next();
        var t = _scene.Times[i];
        if (_flame[i] != _over)
        {
            Signal(t, _flame[i]);
        }

        if (_scene.Second is { } second)
        {
            _watch.AddSecond(t, second[i]);
        }

        _watch.Add(t, _scene.First[i], new(SustainedSeconds, Freely: false, Signalled: true, Handled: false), _events);
        var seen = _events.Count;
        if (seen > 0)
        {
            _events.Clear();
        }

        return seen;
    }

    private void Signal(double seconds, bool over)
    {
        if (over)
        {
            _watch.FlameOn(seconds, SustainedSeconds, _events);
        }
        else
        {
            _watch.FlameOff(seconds, _events);
        }

        (_over, _flameSeconds) = (over, seconds);
    }

    /// <summary>The next reading, seen by the ramp's estimator and watch.</summary>
    public int Ramp() => Ramp(Next());

    /// <summary>The next reading, seen by all of them.</summary>
    public int Whole()
    {
        var seen = Detect();
        return seen + Ramp(_next - 1);
    }

    private int Ramp(int i)
    {
        if (!_ramp.Add(_scene.Times[i], _celsius[i]))
        {
            return 0;
        }

        var flame = _over ? _scene.Times[i] : _flameSeconds;
        _ = _ramp.Fit(RampEstimator.RecordWindowSeconds, double.NegativeInfinity);
        return _band.Look(_ramp, double.NegativeInfinity, 5, 6, 0.1, flame) is null ? 0 : 1;
    }

    private int Next()
    {
        if (_next == _celsius.Length)
        {
            (_watch, _ramp, _band, _next, _flameSeconds, _over) = (new(), new(), new(), 0, double.NegativeInfinity, false);
        }

        return _next++;
    }
}
