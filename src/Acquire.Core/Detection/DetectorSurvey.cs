using System.Numerics;
using System.Text.Json.Serialization;

namespace Acquire.Core.Detection;

/// <summary>Looks at all the quiet of a detector up to the flash and says whether it can be trusted. Part of a run's snapshot.</summary>
/// <remarks>The quiet between two passes is taken in stretches that do not overlap, so that what is counted is counted once. Nothing that judges a pass hangs on it.</remarks>
public sealed class DetectorSurvey
{
    /// <summary>Stretch that is looked at while nothing happens, s; a shorter one where a pass begins.</summary>
    internal const double StretchSeconds = 5;

    /// <summary>A blink of a tenth to a fifth of a second must not fit between two readings, s.</summary>
    internal const double LongestSpacingSeconds = PassSight.LongestSpacingSeconds;

    // Nothing is known of the passes before the first: a slow part of so many deviations of the noise.
    private const double SlowDeviations = 10;
    private const double LeastSlowDeviations = 3;

    [JsonInclude]
    private SpectrumLearner _learner = new();

    [JsonInclude]
    private double _quietSeconds;

    [JsonInclude]
    private double _gapSeconds;

    [JsonInclude]
    private double _longestGapSeconds;

    [JsonInclude]
    private int _gaps;

    [JsonInclude]
    private int _wild;

    // Said when somebody asks: a stretch is looked at more often than that.
    [JsonIgnore]
    private Figures? _newest;

    [JsonIgnore]
    private DetectorCheck? _check;

    // Memory for looking only: what it holds between two times says nothing about the run.
    [JsonIgnore]
    private readonly QuietReadings _quiet = new();

    /// <summary>Up to when the quiet was looked at, s.</summary>
    [JsonInclude]
    internal double UntilSeconds { get; private set; } = double.NegativeInfinity;

    /// <summary>What it says now; null before the first stretch.</summary>
    [JsonInclude]
    public DetectorCheck? Check
    {
        get => _check ??= _newest is { } figures ? Say(figures) : null;
        private set => _check = value;
    }

    /// <summary>Takes in the quiet between two times that follow what was taken in before.</summary>
    /// <param name="history">The readings.</param>
    /// <param name="from">First time, s.</param>
    /// <param name="to">Last time, s.</param>
    /// <param name="halfCount">What the detector's converter cannot tell, detector's unit.</param>
    /// <param name="memory">What passes have taught.</param>
    /// <param name="learnt">The noise as learnt lately from the quiet before passes; null where it is to be learnt here.</param>
    internal void Take(DetectorHistory history, double from, double to, double halfCount, PassMemory memory, NoiseSpectrum? learnt)
    {
        var n = _quiet.Take(history, from, to, halfCount, out var wild);
        var times = _quiet.Times.AsSpan(0, n);
        UntilSeconds = to;
        _quietSeconds += to - from;
        Gap(n == 0 ? to - from : times[0] - from);
        Gaps(times, Math.Min(_longestGapSeconds, LongestSpacingSeconds));
        Gap(n == 0 ? 0 : to - times[n - 1]);
        if (n >= IdleNoise.FewestReadings)
        {
            _wild += wild;
            if (learnt is null)
            {
                _learner.Learn(_quiet, n);
            }
        }

        var spacing = n > 2 ? Spacing.Median(times, _quiet.Work) : (to - from) / (n + 1);
        (_newest, _check) = (Look(learnt ?? _learner.Spectrum, spacing, halfCount, memory), null);
    }

    // Takes in those between the readings that are worth it.
    private void Gaps(ReadOnlySpan<double> times, double worth)
    {
        var (wide, i) = (new Vector<double>(worth), 1);
        while (i < times.Length)
        {
            var four = times.Length - i >= Vector<double>.Count;
            if (four && Vector.LessThanOrEqualAll(new Vector<double>(times[i..]) - new Vector<double>(times[(i - 1)..]), wide))
            {
                i += Vector<double>.Count;
                continue;
            }

            for (var end = four ? i + Vector<double>.Count : times.Length; i < end; i++)
            {
                if (times[i] - times[i - 1] > worth)
                {
                    Gap(times[i] - times[i - 1]);
                }
            }
        }
    }

    private void Gap(double seconds)
    {
        _longestGapSeconds = Math.Max(_longestGapSeconds, seconds);
        if (seconds > LongestSpacingSeconds + DetectorHistory.RoundingSeconds)
        {
            _gaps++;
            _gapSeconds += seconds;
        }
    }

    private static Figures Look(NoiseSpectrum? learnt, double spacing, double halfCount, PassMemory memory)
    {
        double? noise = null, least = null;
        if (learnt is { } spectrum)
        {
            var deviation = Math.Max(halfCount, Math.Sqrt(spectrum.Variance));
            var slow = memory.Count == 0 ? SlowDeviations * deviation : Math.Max(LeastSlowDeviations * deviation, memory.Peak);
            (noise, least) = (deviation, LeastFlash.Of(spectrum.HumByTimes ? spectrum with { Hum = 0 } : spectrum, spacing, Math.Max(halfCount, PassJudge.LeastNoiseShareOfPeak * memory.Peak), slow));
        }

        return new(spacing, noise, least, memory.IsKnown ? memory.Peak : null);
    }

    private DetectorCheck Say(in Figures figures)
    {
        var check = new DetectorCheck(1 / figures.Spacing, figures.Noise, figures.LeastFlash, _quietSeconds, _wild, _longestGapSeconds, []);
        return check with { Reasons = DetectorReasons.Against(check, figures.Spacing, _gaps, _gapSeconds / _quietSeconds, figures.Peak) };
    }

    // What the newest stretch told: time between readings, s, noise and least flash, and what passes show at most where enough are known, detector's unit.
    private readonly record struct Figures(double Spacing, double? Noise, double? LeastFlash, double? Peak);
}
