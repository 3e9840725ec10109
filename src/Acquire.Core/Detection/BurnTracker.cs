using System.Text.Json.Serialization;

namespace Acquire.Core.Detection;

/// <summary>Follows the glow after an ignition and says how long the specimen has burned.</summary>
/// <remarks>
/// The glow is smoothed over three hundredths of a second and compared with a share of its own mean of late, so that it works in
/// any unit and a strong flash does not hide a weak burn. A flame flickers: it may fall below that level for up to
/// <see cref="FlickerSeconds"/> and still be the same burn. Part of a run's snapshot.
/// </remarks>
public sealed class BurnTracker
{
    /// <summary>Longest dark moment inside one burn, s.</summary>
    public const double FlickerSeconds = 0.6;

    /// <summary>A burn shorter than this is a flash like any other, s.</summary>
    public const double BriefSeconds = 1.5;

    private const double SmoothingSeconds = 0.03;
    private const double ShareOfMean = 0.35;

    // What is darkness, in idle scales; what the flame alone can show, and what no pass shows, in peaks of the passes before.
    private const double DarkScales = 3.5;
    private const double AbovePass = 1.3;
    private const double ClearPeaks = 2.5;

    // The mean follows the glow in the first time and fades in the second while it is dark, s.
    private const double MeanSeconds = 0.4;
    private const double FadeSeconds = 1;

    // After so much darkness a glow counts once it has lasted for the second time: a wild reading does not prolong a burn, s.
    private const double DarkSeconds = 0.12;
    private const double RelitSeconds = 0.1;

    // The test flame still lights the detector for so long after it has left, s.
    private const double FlameAfterSeconds = 0.4;

    // Seen through this time, s, a glow is as bright as it was at most, and that fades in so many seconds: a flame that a draught lays flat comes back to what
    // it was. What becomes so many times as bright, and brighter by as much as darkness may show, surges. For so long, s, nothing is said of the burn
    // meanwhile, which three readings in a row need, and after so long, s, the glow is as bright as that.
    private const double GlowSeconds = 0.6;
    private const double BrightFadeSeconds = 10;
    private const double SurgeTimes = 1.8;
    private const double WaitSeconds = 0.3;
    private const double SurgeSeconds = 1;

    [JsonIgnore]
    private Decay _smooth = new(SmoothingSeconds);

    [JsonIgnore]
    private Decay _follows = new(MeanSeconds);

    [JsonIgnore]
    private Decay _fades = new(FadeSeconds);

    [JsonIgnore]
    private Decay _glows = new(GlowSeconds);

    [JsonIgnore]
    private Decay _dims = new(BrightFadeSeconds);

    [JsonInclude]
    private double _level;

    [JsonInclude]
    private double _mean;

    [JsonInclude]
    private double _previous = double.NaN;

    [JsonInclude]
    private double _baseline;

    [JsonInclude]
    private double _floor;

    [JsonInclude]
    private double _passPeak;

    [JsonInclude]
    private double _clear = double.PositiveInfinity;

    [JsonInclude]
    private double _clearSince = double.NaN;

    [JsonInclude]
    private double _clearLast = double.NegativeInfinity;

    [JsonInclude]
    private double _relitSince = double.NaN;

    [JsonInclude]
    private double _flameUntil = double.NegativeInfinity;

    [JsonInclude]
    private double _hiddenSeconds;

    // Not a number in a snapshot from before it was followed: then nothing surges.
    [JsonInclude]
    private double _glow = double.NaN;

    [JsonInclude]
    private double _brightest = double.NaN;

    [JsonInclude]
    private double _surgeSince = double.NaN;

    /// <summary>Starts to follow from the beginning of a pass.</summary>
    /// <param name="seconds">Beginning of the pass, s.</param>
    /// <param name="baseline">Quiet baseline before it.</param>
    /// <param name="floor">Glow below this is darkness, above the baseline, detector's unit.</param>
    /// <param name="passPeak">Highest that the flame alone has shown, above the baseline, detector's unit; 0 where it could not be seen.</param>
    /// <param name="clear">Glow above this is no pass, whoever looks, detector's unit; infinite where that is not known.</param>
    public BurnTracker(double seconds, double baseline, double floor, double passPeak = 0, double clear = double.PositiveInfinity)
    {
        (BegunSeconds, OnsetSeconds, LastGlowSeconds) = (seconds, seconds, seconds);
        (_baseline, _floor, _passPeak, _clear) = (baseline, floor, passPeak, clear);
    }

    [JsonConstructor]
    private BurnTracker()
    {
    }

    /// <summary>Starts to follow from the beginning of a pass, with limits from what is known of the detector.</summary>
    internal static BurnTracker Begin(double seconds, IdleNoise noise, PassMemory memory)
    {
        var peak = memory.VisibleCount > 0 ? memory.Peak : 0;
        return new(seconds, noise.Baseline, Math.Max(DarkScales * noise.Smooth, 2 * memory.UsualLinger), AbovePass * peak, peak > 0 ? ClearPeaks * peak : double.PositiveInfinity);
    }

    /// <summary>Since when it has been followed, which is the beginning of the pass, s.</summary>
    [JsonInclude]
    public double BegunSeconds { get; private set; }

    /// <summary>When the burn began, s.</summary>
    [JsonInclude]
    public double OnsetSeconds { get; private set; }

    /// <summary>When it was last seen to glow, s.</summary>
    [JsonInclude]
    public double LastGlowSeconds { get; private set; }

    /// <summary>When the flame that lit it had left, s.</summary>
    [JsonInclude]
    public double FlameLeftSeconds { get; private set; }

    /// <summary>Whether a pass has been judged to have ignited it.</summary>
    [JsonInclude]
    public bool Ignited { get; private set; }

    /// <summary>Whether the method's seconds have been reached and stated.</summary>
    [JsonInclude]
    public bool Sustained { get; internal set; }

    /// <summary>Whether it has been stated that it burns on.</summary>
    [JsonInclude]
    public bool Told { get; internal set; }

    /// <summary>Not to be looked at again before this time, s.</summary>
    [JsonInclude]
    internal double LookAgainSeconds { get; set; } = double.NegativeInfinity;

    /// <summary>Quiet baseline before the pass, detector's unit.</summary>
    internal double Baseline => _baseline;

    /// <summary>Darkness is below this, above the baseline, detector's unit.</summary>
    internal double Floor => _floor;

    /// <summary>Mean height of the glow of late, above the baseline, detector's unit.</summary>
    internal double MeanHeight => _mean;

    /// <summary>Whether it was looked at and was no flame, and no test flame is over it or has just been: what lights now is not what the pass has lit.</summary>
    internal bool MayBeRelit => Ignited && !Told && double.IsFinite(LookAgainSeconds) && _brightest >= 0 && !(_previous <= _flameUntil);

    /// <summary>Whether another ignition is looked for beside it.</summary>
    [JsonInclude]
    internal bool LookedBeside { get; set; }

    /// <summary>What exceeds this is far brighter than it was, detector's unit.</summary>
    internal double SurgeLevel => _baseline + SurgeHeight;

    private double SurgeHeight => Math.Max(SurgeTimes * _brightest, _brightest + _floor);

    /// <summary>How long it has burned so far, s.</summary>
    public double BurnedSeconds => LastGlowSeconds - OnsetSeconds;

    /// <summary>How long it has glowed as no pass does, judged or not, s.</summary>
    public double ClearSeconds => double.IsNaN(_clearSince) ? 0 : _clearLast - _clearSince;

    /// <summary>States that the pass ignited, and when.</summary>
    /// <param name="onsetSeconds">Onset, s.</param>
    /// <param name="flameLeftSeconds">When the flame left, s; not a number where it is not known.</param>
    public void Ignite(double onsetSeconds, double flameLeftSeconds = double.NaN)
    {
        Ignited = true;
        OnsetSeconds = onsetSeconds;
        FlameLeftSeconds = double.IsNaN(flameLeftSeconds) ? onsetSeconds : flameLeftSeconds;
        LastGlowSeconds = Math.Max(LastGlowSeconds, onsetSeconds);
    }

    /// <summary>States that it began at another time than the pass was judged to.</summary>
    internal void Began(double onsetSeconds) => OnsetSeconds = onsetSeconds;

    /// <summary>States that it was last lit at an earlier time than it was seen to glow: it is out.</summary>
    internal void EndedAt(double litSeconds) => (LastGlowSeconds, _relitSince, _hiddenSeconds) = (litSeconds, double.NaN, 0);

    /// <summary>Follows one reading.</summary>
    /// <param name="seconds">Time, s; later than the one before.</param>
    /// <param name="value">Detector's unit.</param>
    /// <param name="flameOver">Whether the test flame is over a specimen that burned already: what glows no more than a pass then says nothing.</param>
    public void Add(double seconds, double value, bool flameOver = false)
    {
        var step = double.IsNaN(_previous) ? double.PositiveInfinity : seconds - _previous;
        _previous = seconds;
        _level += _smooth.Weight(step) * (value - _baseline - _level);
        _flameUntil = flameOver ? seconds + FlameAfterSeconds : _flameUntil;
        var hidden = seconds <= _flameUntil;
        step = double.IsFinite(step) ? step : 0;
        FollowSurge(seconds, step, hidden);
        if (_level > Math.Max(_floor, ShareOfMean * _mean) + (hidden ? _passPeak : 0))
        {
            Glow(seconds, step);
            _mean += _follows.Weight(step) * (_level - _mean);
        }
        else
        {
            _relitSince = double.NaN;
            _hiddenSeconds += hidden ? step : 0;
            _mean *= _fades.Left(step);
        }

        if (_level > _clear)
        {
            _clearSince = seconds - _clearLast > FlickerSeconds ? seconds : _clearSince;
            _clearLast = seconds;
        }
    }

    private void FollowSurge(double seconds, double step, bool hidden)
    {
        if (!Ignited || seconds < FlameLeftSeconds + FlameAfterSeconds)
        {
            // The flame, and the flash: by the time that the pass is judged little is left of them.
            _glow = double.IsNaN(_glow) ? _level : _glow + (_glows.Weight(step) * (_level - _glow));
            _brightest = _glow;
            return;
        }

        if (hidden)
        {
            return;
        }

        _glow += _glows.Weight(step) * (_level - _glow);
        if (!(_level > SurgeHeight))
        {
            (_surgeSince, _brightest) = (double.NaN, Math.Max(_glow, _brightest * _dims.Left(step)));
        }
        else if (double.IsNaN(_surgeSince))
        {
            _surgeSince = seconds;
        }
        else if (seconds - _surgeSince > SurgeSeconds)
        {
            (_surgeSince, _brightest) = (double.NaN, Math.Max(_glow, _brightest));
        }
    }

    /// <summary>Whether it has just become far brighter, so that it is to be seen first whether something was lit anew.</summary>
    internal bool JustSurged(double seconds) => seconds - _surgeSince <= WaitSeconds;

    private void Glow(double seconds, double step)
    {
        if (double.IsNaN(_relitSince) && seconds - LastGlowSeconds > DarkSeconds + step)
        {
            _relitSince = seconds;
        }

        if (double.IsNaN(_relitSince) || seconds - _relitSince >= RelitSeconds - DetectorHistory.RoundingSeconds)
        {
            (LastGlowSeconds, _relitSince, _hiddenSeconds) = (seconds, double.NaN, 0);
        }
    }

    /// <summary>Whether it has been dark for longer than a flicker, the time not counted that a test flame has hidden.</summary>
    public bool IsOut(double now) => double.IsNaN(_relitSince) && now - LastGlowSeconds - _hiddenSeconds > FlickerSeconds;
}
