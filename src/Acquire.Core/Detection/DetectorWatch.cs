using System.Text.Json.Serialization;

namespace Acquire.Core.Detection;

/// <summary>Watches one tester's ignition detector through a run.</summary>
/// <remarks>
/// With a flame-position signal a pass is what lies between flame on and flame off. Without one, any stir of the detector
/// well above its idle scatter is looked at as a pass. Part of a run's snapshot; not thread-safe.
/// </remarks>
public sealed partial class DetectorWatch
{
    private const double IdleSeconds = 8;
    private const double LeastIdleSeconds = 1.5;

    // Without a flame signal the quiet detector decides what is looked at; with one it is learnt anew as the flame comes.
    private const double RelearnFreelySeconds = 1;
    private const double RelearnEverySeconds = 5;
    private const double RelearnSeconds = 3;
    private const double LongestStirSeconds = 3;
    private const double RestSeconds = 0.5;

    [JsonInclude]
    private DetectorHistory _history = new();

    // Memory for learning only: what it holds between two times says nothing about the run.
    [JsonIgnore]
    private readonly IdleLearner _learner = new();

    [JsonIgnore]
    private Decay _smooth = new(IdleNoise.SmoothSeconds);

    [JsonInclude]
    private IdleNoise? _noise;

    [JsonInclude]
    private double _noiseAt = double.NegativeInfinity;

    [JsonInclude]
    private double _busyUntil = double.NegativeInfinity;

    [JsonInclude]
    private OpenPass? _open;

    [JsonInclude]
    private double _stirSince = double.NaN;

    // Above the flash point every pass flashes: what looks like a bare pass then is not one to learn from.
    [JsonInclude]
    private bool _flashed;

    [JsonInclude]
    private double _level = double.NaN;

    [JsonInclude]
    private StrayWatch _stray = new();

    [JsonInclude]
    private double _before = double.NaN;

    [JsonInclude]
    private double _beforeThat = double.NaN;

    // Smallest step seen between two readings: one count of a coarse converter.
    [JsonInclude]
    private double _quantum = double.PositiveInfinity;

    [JsonInclude]
    private double _lowest = double.PositiveInfinity;

    [JsonInclude]
    private double _highest = double.NegativeInfinity;

    [JsonInclude]
    private double? _flameOverFireSince;

    /// <summary>Whether each pass decides by itself, as with fresh test portions: then nothing is learnt from one that may hold a flash, and a stray flame is looked for before the first.</summary>
    [JsonInclude]
    internal bool SinglePasses { get; set; }

    /// <summary>What earlier passes taught.</summary>
    [JsonInclude]
    public PassMemory Memory { get; private set; } = new();

    /// <summary>What the quiet detector does.</summary>
    [JsonInclude]
    public SpectrumLearner Spectrum { get; private set; } = new();

    /// <summary>The burn being followed, if any.</summary>
    [JsonInclude]
    public BurnTracker? Burn { get; private set; }

    /// <summary>Whether the detector ever showed two different values.</summary>
    [JsonInclude]
    public bool EverMoved { get; private set; }

    /// <summary>Whether any reading came.</summary>
    public bool EverRead => _history.Count > 0;

    /// <summary>Whether a pass is being looked at.</summary>
    public bool Looking => _open is not null;

    /// <summary>Whether an ignition without a flame over the cup stands.</summary>
    public bool StrayStands => _stray.Stands;

    /// <summary>Quiet detector as last learnt; null before there was enough of it.</summary>
    public IdleNoise? Noise => _noise;

    /// <summary>The flame came over the cup.</summary>
    internal void FlameOn(double seconds, double sustainedSeconds, List<WatchEvent> events)
    {
        if (_open is { } earlier)
        {
            earlier.End ??= seconds;
            Close(seconds, sustainedSeconds, events);
        }

        if (Burn is { Ignited: true })
        {
            _flameOverFireSince = seconds;
            return;
        }

        // A drift, however far, is at rest for this pass; a fire that burns already is not.
        var burns = _stray.IsNoDrift;
        _stray.FlameCame(seconds, events);
        if (!burns)
        {
            LearnIdle(seconds, every: 0);
            LearnSpectrum(seconds);
            Survey(seconds, LeastIdleSeconds);
        }

        _open = new OpenPass { Start = seconds, FlameSeen = true };
        Burn = NewBurn(seconds);
    }

    /// <summary>The flame left the cup.</summary>
    internal void FlameOff(double seconds, List<WatchEvent> events)
    {
        if (_flameOverFireSince is { } since)
        {
            events.Add(new WatchEvent.PassedOverFire(since, seconds));
            _flameOverFireSince = null;
        }

        if (_open is { FlameSeen: true })
        {
            _open.End = seconds;
        }
    }

    /// <summary>The flame signal was a glitch: no pass took place.</summary>
    internal void ForgetPass()
    {
        _open = null;
        _flameOverFireSince = null;
        Burn = Burn is { Ignited: true } ? Burn : null;
    }

    /// <summary>Takes in a reading.</summary>
    /// <param name="seconds">Time, s; later than the one before.</param>
    /// <param name="value">Detector's unit; finite.</param>
    /// <param name="ask">What the run says.</param>
    /// <param name="events">Receives what was seen.</param>
    internal void Add(double seconds, double value, in WatchAsk ask, List<WatchEvent> events)
    {
        var spacing = _history.Add(seconds, value);
        var clean = Clean(value, spacing);
        if (Burn is not null)
        {
            FollowBurn(seconds, clean, ask.SustainedSeconds, events);
        }

        if (_open is not null)
        {
            FollowPass(seconds, clean, ask.SustainedSeconds, events);
        }
        else if (Burn is null)
        {
            // Where a signal tells of the flame no stir is asked for.
            if (!ask.Signalled || ask.Freely)
            {
                Stir(seconds, clean, spacing, ask.Freely);
            }

            Rest(seconds, value, ask, events);
            if (_open is null)
            {
                Survey(seconds, DetectorSurvey.StretchSeconds);
            }
        }
        else
        {
            LookBesideBurn(seconds, value, Burn, ask, events);
        }
    }

    /// <summary>Takes in a reading of a run that a person judges: only an ignition that lasts longer than any pass is looked for.</summary>
    internal void AddUnjudged(double seconds, double value, in WatchAsk ask, List<WatchEvent> events)
    {
        Clean(value, _history.Add(seconds, value));
        Rest(seconds, value, ask, events);
    }

    private void Rest(double seconds, double value, in WatchAsk ask, List<WatchEvent> events)
    {
        if (_open is not null)
        {
            return;
        }

        LookForStray(seconds, value, double.NegativeInfinity, ask, events);
        if (!_stray.Suspects)
        {
            LearnIdle(seconds, ask.Freely ? RelearnFreelySeconds : RelearnEverySeconds);
        }
    }

    private void LookForStray(double seconds, double value, double leastLevel, in WatchAsk ask, List<WatchEvent> events)
    {
        if (_noise is { } noise && _stray.Add(seconds, value))
        {
            var limits = StrayLimits.Of(double.MaxNative(double.MaxNative(noise.Smooth, noise.White), HalfCount), _highest - _lowest, Memory, _stray.KnowsApproach, ask);
            _stray.Look(limits with { LeastLevel = leastLevel }, events);
        }
    }

    // A level that a flash has left, or a drift after it, is followed as a burn until it has been dark. What becomes far brighter after it was looked at, and
    // was no flame, was lit without a test flame, and ends that burn.
    private void LookBesideBurn(double seconds, double value, BurnTracker burn, in WatchAsk ask, List<WatchEvent> events)
    {
        if (ask.Freely || !burn.MayBeRelit || _stray.Stands)
        {
            burn.LookedBeside = false;
            return;
        }

        if (!burn.LookedBeside)
        {
            burn.LookedBeside = true;
            _stray.BurnGoesOn(seconds);
        }

        LookForStray(seconds, value, burn.SurgeLevel, ask, events);
        if (_stray.Stands)
        {
            events.Add(new WatchEvent.WentOut(burn.OnsetSeconds, 0, LongEnough: false));
            Burn = null;
            _busyUntil = seconds;
        }
    }

    // What is followed from reading to reading, and the range that floors are a share of, must not hang on one wild reading:
    // where a flash covers two readings or more, the middle one of the newest three is taken.
    private double Clean(double value, double spacing)
    {
        if (double.IsNaN(_before))
        {
            (_before, _beforeThat) = (value, value);
        }

        var step = Math.Abs(value - _before);
        if (step > 0)
        {
            EverMoved = true;
            _quantum = double.MinNative(_quantum, step);
        }

        var middle = Robust.Median3(_beforeThat, _before, value);
        (_beforeThat, _before) = (_before, value);
        _lowest = double.MinNative(_lowest, middle);
        _highest = double.MaxNative(_highest, middle);
        return spacing <= DetectorStretch.LongestSpacingForSpikesSeconds ? middle : value;
    }

    /// <summary>The record ends: judges a pass that is still open with what there is.</summary>
    internal void Finish(double seconds, double sustainedSeconds, List<WatchEvent> events)
    {
        if (_open is { } pass && seconds - pass.Start >= 0.2)
        {
            pass.End ??= seconds;
            Close(seconds, sustainedSeconds, events);
        }
    }

    private void FollowPass(double seconds, double value, double sustainedSeconds, List<WatchEvent> events)
    {
        var pass = _open!;
        if (!pass.FlameSeen)
        {
            _level += _smooth.Weight(_history.NewestSpacingSeconds) * (value - _level);
            var noise = NoiseOrGuess(pass.Start);
            pass.Highest = Math.Max(pass.Highest, _level - noise.Baseline);
            pass.LastStir = _level - noise.Baseline > Math.Max(3 * noise.Smooth, 0.1 * pass.Highest) ? seconds : pass.LastStir;
            pass.End = pass.LastStir;
        }

        var ended = pass.FlameSeen
            ? pass.End is { } end && seconds - end >= PassJudge.TailSeconds
            : seconds - pass.LastStir >= RestSeconds;
        if ((ended || seconds - pass.Start >= LongestStirSeconds + PassJudge.TailSeconds) && seconds >= pass.LookAgainSeconds)
        {
            pass.End ??= seconds;
            Close(seconds, sustainedSeconds, events, mayWait: true);
        }
    }

    private void Close(double seconds, double sustainedSeconds, List<WatchEvent> events, bool mayWait = false)
    {
        var open = _open!;
        var pass = new Pass(open.Start, open.End!.Value, open.FlameSeen, NoiseOrGuess(open.Start)) { Spectrum = Spectrum.Spectrum, Hum = Spectrum.Hum, HalfCount = HalfCount, AfterFlash = _flashed && !SinglePasses };
        var verdict = PassJudge.Judge(pass, _history, Memory, seconds, _second);
        if (verdict.Open && mayWait && open.Looks < LastingGlow.MostLooks)
        {
            // Burning is followed meanwhile, judged or not.
            (open.Looks, open.LookAgainSeconds) = (open.Looks + 1, seconds + LastingGlow.AgainSeconds);
            return;
        }

        _open = null;
        _busyUntil = seconds;
        _second?.PassEnded();
        _flashed |= verdict.Flash;
        if (verdict.Flash)
        {
            Burn?.Ignite(verdict.OnsetSeconds, pass.End);
        }
        else
        {
            Unburn(seconds, verdict.Record.Linger, events);
            var real = pass.FlameSeen || (verdict.Record.Visible && verdict.Width >= 0.1);
            if (real && !verdict.LeftNothing && !_flashed && !(SinglePasses && verdict.Sight.Ambiguous))
            {
                using var room = WindowRoom.Open();
                var without = pass.Spectrum;
                Memory.Remember(verdict.Record, HumWave.TakeOff(pass.Hum, _history.Between(pass.Start - PassJudge.LeadSeconds, seconds), pass.Start + PassCourse.GridTo, ref without), pass.Noise.Baseline, pass.Start);
                _second?.Remember(pass, seconds);
            }
        }

        // What is told of a pass stays, and so does not lie in the room that the judgement had.
        events.Add(new WatchEvent.Judged(pass, verdict));
        SettleBurn(seconds, sustainedSeconds, events);
    }

    private void FollowBurn(double seconds, double value, double sustainedSeconds, List<WatchEvent> events)
    {
        Burn?.Add(seconds, value, _flameOverFireSince is not null);
        SettleBurn(seconds, sustainedSeconds, events);
    }

    private void SettleBurn(double seconds, double sustainedSeconds, List<WatchEvent> events)
    {
        if (Burn is not { } burn)
        {
            return;
        }

        var isFlame = !BurnJudge.Asks(burn, seconds, sustainedSeconds) || BurnJudge.Look(burn, _history, Memory, NoiseOrGuess(seconds), Spectrum.Spectrum, seconds, sustainedSeconds, events);
        if (burn.Ignited && (!isFlame || (burn.IsOut(seconds) && _open is null)))
        {
            events.Add(new WatchEvent.WentOut(burn.OnsetSeconds, isFlame ? burn.BurnedSeconds : 0, burn.Sustained));
            _stray.BurnEnded(seconds, burn.Told && isFlame ? burn.MeanHeight : 0, events);
            Burn = null;
            _busyUntil = seconds;
        }
    }

    private void Unburn(double seconds, double left, List<WatchEvent> events)
    {
        if (Burn is { Told: true })
        {
            events.Add(new WatchEvent.NotBurning());
        }

        Burn = null;
        _stray.PassEnded(seconds, left);
    }

    private void Stir(double seconds, double value, double spacing, bool freely)
    {
        // After a pass the quiet detector is learnt anew first; the next application is many seconds away.
        if (_noise is not { } noise || (_noiseAt < _busyUntil && seconds < _busyUntil + RelearnSeconds))
        {
            return;
        }

        _level = double.IsNaN(_level) ? value : _level + (_smooth.Weight(spacing) * (value - _level));
        if (freely)
        {
            StirFreely(seconds, _level - noise.Baseline, 5 * Math.Max(noise.Smooth, HalfCount));
        }
    }

    private void StirFreely(double seconds, double height, double threshold)
    {
        if (height <= threshold)
        {
            _stirSince = double.NaN;
        }
        else if (double.IsNaN(_stirSince))
        {
            _stirSince = seconds;
        }

        if (height > threshold && (seconds > _stirSince || _history.NewestSpacingSeconds > DetectorStretch.LongestSpacingForSpikesSeconds))
        {
            _open = new OpenPass { Start = _stirSince - IdleNoise.SmoothSeconds, FlameSeen = false, LastStir = seconds };
            LearnSpectrum(_open.Start);
            Survey(_open.Start, LeastIdleSeconds);
            Burn = NewBurn(_open.Start);
            _stirSince = double.NaN;
        }
    }

    private BurnTracker NewBurn(double seconds) => BurnTracker.Begin(seconds, NoiseOrGuess(seconds), Memory);
}
