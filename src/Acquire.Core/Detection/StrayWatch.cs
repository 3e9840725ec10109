using System.Text.Json.Serialization;

namespace Acquire.Core.Detection;

/// <summary>Looks for an ignition while no test flame is over the cup.</summary>
/// <remarks>
/// A test on runs of short means: each must stand above the level at rest by a multiple of its scatter, and they must do so for
/// long enough. What is single, double or a burst of some hundredths of a second is over before; a drift is followed. Part of a
/// run's snapshot; not thread-safe.
/// </remarks>
public sealed class StrayWatch
{
    /// <summary>How long a sudden rise has to keep about its height, s.</summary>
    public const double KeptSeconds = 0.15;

    // However it changes its height.
    private const double StoodSeconds = 0.3;

    // Longer than any pass of the flame.
    private const double LongerThanPassSeconds = 3;

    // From below a share of the threshold to above it: what takes longer is a drift, or a draught that swells, unless it becomes three times as high.
    private const double SuddenFrom = 0.35;
    private const double SuddenSeconds = 0.4;
    private const double HighDrift = 3;

    // A steady glow that lasts as long is a detector that has shifted; a flame flickers.
    private const double ShiftSeconds = 20;
    private const double LampSeconds = 10;
    private const double FlickerSeconds = 0.3;
    private const double UnrestSeconds = 3;
    private const double BrightSeconds = 30;
    private const double FlickerScales = 2;
    private const double FlickerShare = 0.04;

    // What is followed of an error, in scales; what the flame's approach is kept above; how long a large scatter is remembered.
    private const double FollowedScales = 2.5;
    private const double AboveApproach = 1.5;
    private const double ScatterMemorySeconds = 60;

    // The flame on its way to the cup, before its signal comes, s.
    private const double ApproachSeconds = 0.5;
    private const double SettlingSeconds = 3;
    private const double KnownAfterSeconds = 8;

    // While an ignition stands, the drift before it is carried on for no longer than this, s.
    private const double LongestDriftSeconds = 5;

    // So many scales above the level at rest a detector does not drift while a flame is awaited.
    private const double NoDriftScales = 80;

    // So many scales above the level at rest, for so long and with so much unrest it goes on record; the rise is forgotten by then, s.
    private const double BurnScales = 10;
    private const double BurnSeconds = 5;
    private const double BurnFlickerScales = 1.7;

    // The same where nothing but the flicker tells it from a lamp.
    private const double CertainFlickerScales = 2.5;

    // What burned once is looked for again at a share of its height.
    private const double AgainScales = 5;
    private const double AgainShare = 0.25;

    [JsonIgnore]
    private Decay _forgets = new(ScatterMemorySeconds);

    [JsonIgnore]
    private Decay _flicker = new(FlickerSeconds);

    [JsonIgnore]
    private Decay _fades = new(BrightSeconds);

    [JsonIgnore]
    private Decay _rests = new(UnrestSeconds);

    [JsonInclude]
    private ShortMean _mean = new();

    [JsonInclude]
    private RestLevel _rest = new();

    [JsonInclude]
    private GlowStreak _sudden = new();

    [JsonInclude]
    private GlowStreak _lasting = new();

    [JsonInclude]
    private GlowStreak _sure = new();

    [JsonInclude]
    private double _at = double.NaN;

    [JsonInclude]
    private double _scale;

    [JsonInclude]
    private double _quietSeconds;

    [JsonInclude]
    private double _lowAt = double.NaN;

    [JsonInclude]
    private bool _rose;

    [JsonInclude]
    private double _before;

    [JsonInclude]
    private double _fellSince = double.NaN;

    [JsonInclude]
    private double _settlesUntil = double.NegativeInfinity;

    [JsonInclude]
    private double _allowance = double.NaN;

    [JsonInclude]
    private double _earlier;

    [JsonInclude]
    private double _approach;

    [JsonInclude]
    private double _newestApproach;

    [JsonInclude]
    private int _passes;

    [JsonInclude]
    private double _burned = double.PositiveInfinity;

    [JsonInclude]
    private double _since = double.NaN;

    [JsonInclude]
    private double _threshold;

    [JsonInclude]
    private double _lastGlow;

    [JsonInclude]
    private bool _suddenly;

    [JsonInclude]
    private bool _stated;

    [JsonInclude]
    private double _slow;

    [JsonInclude]
    private double _bright;

    [JsonInclude]
    private double _unrest;

    /// <summary>Whether the flame has come over the cup twice, so that its approach is known.</summary>
    internal bool KnowsApproach => _passes >= 2;

    /// <summary>Whether an ignition without a flame stands.</summary>
    public bool Stands => !double.IsNaN(_since);

    /// <summary>Whether one stands that began suddenly and is higher than any drift becomes from pass to pass.</summary>
    internal bool IsNoDrift => Stands && _suddenly && Math.Max(_bright, _slow) > NoDriftScales * _scale;

    /// <summary>Whether something rose suddenly and has not fallen yet: what the detector shows is not the detector at rest.</summary>
    internal bool Suspects => _rose || Stands;

    /// <summary>Takes in a reading of the detector while no pass is followed, and no burn that is a flame.</summary>
    /// <returns>Whether <see cref="Look"/> is to be called: a short mean is complete.</returns>
    internal bool Add(double seconds, double value) => _mean.Add(seconds, value);

    /// <summary>The flame has come over the cup: what has just begun was its approach.</summary>
    internal void FlameCame(double seconds, List<WatchEvent> events)
    {
        var approach = !Stands || seconds - _since < ApproachSeconds;

        // The flame is seen on its way at each pass; what was there at one of them was something else.
        var height = approach ? Math.Min(_earlier, _before) - (2 * _scale) : 0;
        _approach = Math.Max(0.8 * _approach, Math.Min(height, _newestApproach));
        _newestApproach = height;
        _passes++;
        Forget();
        if (Stands && approach)
        {
            End(events);
        }
    }

    /// <summary>A pass without a flash is over.</summary>
    /// <param name="seconds">Now, s.</param>
    /// <param name="left">What it has left above the level before it, detector's unit: the detector is still coming down, and this much is no ignition.</param>
    internal void PassEnded(double seconds, double left) => Settle(seconds, AboveApproach * Math.Max(0, left));

    /// <summary>A burn went out: the level now is that of a dark cup, and what burns again will be about as bright.</summary>
    /// <param name="seconds">Now, s.</param>
    /// <param name="height">How high it burned, detector's unit; 0 where it was but a flash.</param>
    /// <param name="events">Receives that an ignition without a flame, which became that burn, is over.</param>
    internal void BurnEnded(double seconds, double height, List<WatchEvent> events)
    {
        Settle(seconds, double.PositiveInfinity);
        _burned = height > 0 ? height : _burned;
        if (Stands)
        {
            End(events);
        }
    }

    /// <summary>A burn goes on, or seems to: its level now is the one above which another ignition would be seen.</summary>
    internal void BurnGoesOn(double seconds) => Settle(seconds, double.PositiveInfinity);

    /// <summary>Looks at the short mean that has just been completed.</summary>
    internal void Look(in StrayLimits limits, List<WatchEvent> events)
    {
        var seconds = _mean.NewestSeconds;
        var step = double.IsNaN(_at) ? 0 : seconds - _at;
        _at = seconds;
        if (double.IsNaN(_rest.Level))
        {
            _rest.Set(_mean.Value);
        }

        if (!(seconds - _since > LongestDriftSeconds))
        {
            _rest.Drift(step);
        }

        // What is compared from here on are numbers all: the processor's own greater and lesser will do.
        Allow();
        var height = _mean.Value - _rest.Level;
        _scale = double.MaxNative(limits.Scale, _scale * _forgets.Left(step));
        (_earlier, _before) = (_before, height);
        _sure.Add(_mean.FirstSeconds, seconds, height, limits.Sure, _scale);
        if (Stands)
        {
            Follow(seconds, step, height, events);
        }
        else
        {
            Search(seconds, step, height, limits, events);
        }

        if (Stands && !_stated && (_sure.StoodSeconds >= StoodSeconds || (double.IsFinite(limits.Sure) && Burns(seconds))))
        {
            _stated = true;
            events.Add(new WatchEvent.StrayLasted(_since));
        }
    }

    // What came at once, flickers and lasts far longer than any pass need not be higher than one: a detector that wanders does not flicker.
    private bool Burns(double seconds) =>
        _suddenly && seconds - _since >= BurnSeconds && _slow > BurnScales * _scale && Math.Sqrt(_unrest) > BurnFlickerScales * _scale;

    private void Search(double seconds, double step, double height, in StrayLimits limits, List<WatchEvent> events)
    {
        var (sudden, lasting) = Thresholds(limits);
        var low = double.MinNative(sudden, lasting);
        var stood = _sudden.Stands || _lasting.Stands;
        _sudden.Add(_mean.FirstSeconds, seconds, height, sudden, _scale);
        _lasting.Add(_mean.FirstSeconds, seconds, height, lasting, _scale);
        _lowAt = height <= SuddenFrom * low ? seconds : _lowAt;
        var stands = _sudden.Stands || _lasting.Stands;
        _rose = stands && (stood ? _rose : seconds - _lowAt <= Math.Max(SuddenSeconds, step) + DetectorHistory.RoundingSeconds);

        Sway(step, height, anew: !(_lasting.StoodSeconds >= StoodSeconds));
        var kept = _sudden.KeptSeconds >= KeptSeconds - DetectorHistory.RoundingSeconds || _sudden.StoodSeconds >= StoodSeconds;
        var known = _quietSeconds >= KnownAfterSeconds;
        if (known && kept && (_rose || height > HighDrift * sudden))
        {
            Begin(_sudden.OnsetSeconds, seconds, sudden, events);
        }
        else if (known && _rose && _lasting.StoodSeconds >= LongerThanPassSeconds && (!limits.Flickers || Math.Sqrt(_unrest) > CertainFlickerScales * _scale))
        {
            Begin(_lasting.OnsetSeconds, seconds, lasting, events);
        }
        else if (limits.Flickers && _lasting.StoodSeconds > LampSeconds)
        {
            // A lamp, or a lid that was taken off: so bright is the detector at rest from now on.
            _rest.Set(_mean.Value);
            Forget();
        }
        else if (!_rose || !known)
        {
            // Coming down from a pass takes more than one reading, a reading that is wild downwards does not.
            var settles = seconds < _settlesUntil ? double.MaxNative(height, _earlier) : double.NaN;
            _quietSeconds += double.MinNative(step, 1);
            _rest.Correct(step, height, settles, FollowedScales * _scale);
            Fallen(seconds, height);
        }
    }

    // A scatter larger than now is remembered for a while: a draught comes again.
    private (double Sudden, double Lasting) Thresholds(in StrayLimits limits)
    {
        var larger = limits.Scale > 0 ? _scale / limits.Scale : 1;
        var again = double.MaxNative(AgainScales * _scale, AgainShare * _burned);
        var least = limits.LeastLevel - _rest.Level;
        return (double.MaxNative(double.MaxNative(double.MinNative(limits.Sudden * larger, again), AboveApproach * _approach), least), double.MaxNative(limits.Lasting * larger, least));
    }

    // A detector that stays well below is at rest there.
    private void Fallen(double seconds, double height)
    {
        _fellSince = height < -5 * _scale ? (double.IsNaN(_fellSince) ? seconds : _fellSince) : double.NaN;
        if (seconds - _fellSince >= 1)
        {
            _rest.Set(_mean.Value);
            _fellSince = double.NaN;
        }
    }

    private void Begin(double onset, double seconds, double threshold, List<WatchEvent> events)
    {
        _suddenly = _rose;
        (_since, _threshold, _lastGlow, _stated) = (onset, threshold, seconds, false);
        (_slow, _bright, _unrest) = (_mean.Value - _rest.Level, 0, 0);
        events.Add(new WatchEvent.Stray(onset));
    }

    private void Follow(double seconds, double step, double height, List<WatchEvent> events)
    {
        // The level at rest may have moved meanwhile: dark is what is far below the glow, too.
        _lastGlow = height > Math.Max(_threshold / 2, AgainShare * _bright) ? seconds : _lastGlow;
        Sway(step, height, anew: false);
        _bright = Math.Max(_slow, _bright * _fades.Left(step));
        if (seconds - _lastGlow > BurnTracker.FlickerSeconds)
        {
            Settle(seconds, double.PositiveInfinity);
            End(events);
        }
        else if (seconds - _since > ShiftSeconds && Math.Sqrt(_unrest) < Math.Max(FlickerScales * _scale, FlickerShare * _slow))
        {
            _rest.Set(_mean.Value);
            End(events);
        }
    }

    // How a glow sways about its slow mean, as soon as it has risen.
    private void Sway(double step, double height, bool anew)
    {
        _slow = anew ? height : _slow + (_flicker.Weight(step) * (height - _slow));
        _unrest = anew ? 0 : _unrest + (_rests.Weight(step) * (((height - _slow) * (height - _slow)) - _unrest));
    }

    private void End(List<WatchEvent> events)
    {
        _since = double.NaN;
        Forget();
        events.Add(new WatchEvent.StrayEnded());
    }

    private void Settle(double seconds, double allowance)
    {
        (_allowance, _settlesUntil) = (allowance, seconds + SettlingSeconds);
        Forget();
    }

    private void Forget()
    {
        _sudden.Clear();
        _lasting.Clear();
        _sure.Clear();
        _rose = false;
        (_earlier, _before) = (0, 0);
    }

    // What a pass leaves behind, and not more, is the level from which the detector comes to rest.
    private void Allow()
    {
        if (double.IsNaN(_allowance))
        {
            return;
        }

        // One mean is no level: what noise alone can do to it is left to the following.
        var above = _mean.Value - _rest.Level - (FollowedScales * _scale);
        _rest.Raise(Math.Max(0, Math.Min(above, _allowance)));
        (_lowAt, _allowance) = (_mean.NewestSeconds, double.NaN);
    }
}
