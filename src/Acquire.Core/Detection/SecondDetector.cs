using System.Text.Json.Serialization;

namespace Acquire.Core.Detection;

/// <summary>A second ignition detector, which is asked whether it saw what the first one did. Part of a run's snapshot.</summary>
public sealed class SecondDetector
{
    // It may lag behind the first one, but hardly be before it.
    private const double EarlierSeconds = 0.05;
    private const double LaterSeconds = 0.12;

    // Without a reading for so long it is silent.
    private const double FreshSeconds = 0.5;

    // Sudden parts in passes without a flash, beyond what noise does: it sees halos as sudden as a flash, and confirms nothing.
    private const double SuddenHalo = 4.5;
    private const double LeastNoiseShareOfPeak = 0.004;

    // A channel that tells only changes shows one value for as long as nothing changes: so many equal readings are none of it.
    private const int FewestStill = 20;

    [JsonInclude]
    private bool _still = true;

    [JsonInclude]
    private bool _passed;

    [JsonInclude]
    private double _newest = double.NaN;

    [JsonInclude]
    private DetectorHistory _history = new();

    [JsonInclude]
    private SpectrumLearner _spectrum = new();

    [JsonInclude]
    private PassMemory _memory = new();

    /// <summary>Whether what it shows can speak for or against a flash: it is there, it has seen the flame at a pass, and its halos are no flashes.</summary>
    /// <param name="now">Time, s.</param>
    internal bool CanTell(double now) =>
        _spectrum.Spectrum is not null && _memory.IsKnown && _memory.VisibleCount > 0 && _memory.Restlessness < SuddenHalo && now - _history.NewestSeconds < FreshSeconds;

    /// <summary>The value that every reading so far has shown, its own unit; null where they differ, are fewer than <see cref="FewestStill"/>, or no pass was there to be seen.</summary>
    internal double? StillAt => _passed && _still && _history.Count >= FewestStill ? _newest : null;

    /// <summary>A pass is over, whatever it was.</summary>
    internal void PassEnded() => _passed = true;

    /// <summary>Takes in a reading.</summary>
    internal void Add(double seconds, double value)
    {
        _still &= value == _newest || double.IsNaN(_newest);
        _newest = value;
        _history.Add(seconds, value);
    }

    /// <summary>Learns what it does at rest, from the quiet between two times.</summary>
    internal void LearnQuiet(double from, double to) => _spectrum.Learn(_history, from, to);

    /// <summary>How surely it saw an ignition begin at a time, in standard deviations; 0 where it saw none, null where it cannot tell.</summary>
    internal double? Confirm(Pass pass, double onset, double now)
    {
        using var room = WindowRoom.Open();
        return CanTell(now) && Window(pass, now, out var noise) is { Times.IsEmpty: false } window ? Test(pass, window, noise, onset - EarlierSeconds, onset + LaterSeconds, quickly: false)?.Significance ?? 0 : null;
    }

    /// <summary>Remembers a pass without a flash.</summary>
    internal void Remember(Pass pass, double now)
    {
        using var room = WindowRoom.Open();
        if (Window(pass, now, out var noise) is { Times.IsEmpty: false } window)
        {
            var significance = Test(pass, window, noise, pass.Start - 0.1, Math.Min(Math.Min(pass.End + 0.9, now), pass.Start + PassJudge.LongestLookSeconds), quickly: true)?.Significance ?? 0;
            var smooth = Math.Sqrt(_spectrum.Spectrum?.Variance ?? 0);
            _memory.Remember(new PassRecord(Peak(window), 0, smooth, 0, 0, significance), window, 0, pass.Start);
        }
    }

    private FlashEvidence? Test(Pass pass, DetectorStretch window, NoiseSpectrum? noise, double from, double to, bool quickly)
    {
        var peak = Math.Max(_memory.Peak, Peak(window));
        if (peak <= 0 || noise is null)
        {
            return null;
        }

        var question = new FlashQuestion(window, noise, LeastNoiseShareOfPeak * peak, peak, from, to, 1.3 * peak, peak)
        {
            Known = _memory.Course(pass.Start),
            KnownShare = _memory.CourseShare,
        };
        return quickly ? FlashTest.RunQuickly(question) : FlashTest.Run(question);
    }

    private static double Peak(DetectorStretch window) => window.Smoothed(IdleNoise.SmoothSeconds).Highest();

    // The readings round a pass above those before it, and their noise; none where there are none.
    private DetectorStretch Window(Pass pass, double now, scoped out NoiseSpectrum? noise)
    {
        noise = _spectrum.Spectrum;
        var raw = HumWave.TakeOff(_spectrum.Hum, _history.Between(pass.Start - PassJudge.LeadSeconds, Math.Min(now, pass.End + PassJudge.TailSeconds)), double.PositiveInfinity, ref noise);
        var before = raw.Between(pass.Start - PassJudge.LeadSeconds, pass.Start - 0.1);
        if (before.Times.Length < IdleNoise.FewestReadings)
        {
            return default;
        }

        var baseline = Robust.Median(before.Values);
        var clean = raw.WithoutSpikes(Math.Sqrt((noise?.White ?? 0) + (noise?.Hum ?? 0)));
        return clean.Above(baseline);
    }
}
