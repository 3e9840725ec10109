using System.Diagnostics.CodeAnalysis;
using Acquire.Benchmarks.Campaigns.Flash;
using Acquire.Core.Detection;

namespace Acquire.Benchmarks.Campaigns;

/// <summary>Runs as detection and ramp see them, one after the other: a pass of the test flame of one second each twenty seconds, a legal ramp, one detector or two; drawn anew for each of a few, which then come again.</summary>
internal sealed class CostPlay
{
    /// <summary>Runs that are drawn: a draught at a single pass makes one dearer than the other.</summary>
    public const int Runs = 4;

    private const double SustainedSeconds = 5;
    private readonly PassScene[] _scenes;
    private readonly double[][] _allCelsius;
    private readonly bool[][] _flames;
    private PassScene _scene;
    private double[] _celsius;

    // The flame's position, as it comes with each reading.
    private bool[] _flame;
    private int _run = -1;
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
        var options = (two ? SceneOptions.TwoDetectors : SceneOptions.OneDetector) with { RowsPerSecond = rowsPerSecond, BarePasses = 40, FlashSigma = 0, IntervalSeconds = 20, TimeScatter = timeScatter };
        _scenes = [.. Enumerable.Range(1, Runs).Select(seed => PassScene.Draw((ulong)seed, options))];
        var random = new CampaignRandom(1);
        _flames = [.. _scenes.Select(scene => Array.ConvertAll(scene.Times, time => scene.Passes.Any(pass => time >= pass.Start && time <= pass.End)))];
        _allCelsius = [.. _scenes.Select(scene => Array.ConvertAll(scene.Times, time => Math.Round((100 + (5.5 / 60 * time) + (0.05 * random.Normal())) * 10) / 10))];
        Begin();
    }

    /// <summary>Rows of the run that is played.</summary>
    public int Count => _celsius.Length;

    /// <summary>Rows of it up to ten seconds before its sixth pass: from there on it is in its steady state.</summary>
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
            Begin();
        }

        return _next++;
    }

    [MemberNotNull(nameof(_scene), nameof(_celsius), nameof(_flame))]
    private void Begin()
    {
        _run = (_run + 1) % Runs;
        (_scene, _celsius, _flame) = (_scenes[_run], _allCelsius[_run], _flames[_run]);
        (_watch, _ramp, _band, _next, _flameSeconds, _over) = (new(), new(), new(), 0, double.NegativeInfinity, false);
    }
}
