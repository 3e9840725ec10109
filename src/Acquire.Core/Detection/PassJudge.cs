namespace Acquire.Core.Detection;

/// <summary>A stretch of detector readings that holds one pass of the test flame.</summary>
/// <param name="Start">When the flame came over the cup, or the detector first stirred, s.</param>
/// <param name="End">When it left, or the detector came to rest, s.</param>
/// <param name="FlameSeen">Whether start and end come from a flame-position signal.</param>
/// <param name="Noise">Quiet detector before the pass.</param>
internal sealed record Pass(double Start, double End, bool FlameSeen, IdleNoise Noise)
{
    /// <summary>The noise as learnt from all quiet stretches; null before the first.</summary>
    public NoiseSpectrum? Spectrum { get; init; }

    /// <summary>The hum of the mains just before it, where it can be carried on; null elsewhere.</summary>
    public HumWave? Hum { get; init; }

    /// <summary>What the detector's converter cannot tell, detector's unit.</summary>
    public double HalfCount { get; init; }

    /// <summary>Whether a pass before it flashed: then each is expected to, and a fire point is awaited. Never where each pass decides by itself.</summary>
    public bool AfterFlash { get; init; }
}

/// <summary>What a pass turned out to be.</summary>
/// <param name="Flash">Whether something ignited.</param>
/// <param name="OnsetSeconds">When it ignited, s; start of the pass where nothing did.</param>
/// <param name="Significance">Height of the strongest sudden part over its uncertainty.</param>
/// <param name="Uncertain">An event that is neither clearly a flash nor clearly the halo.</param>
/// <param name="Record">Figures for the memory of passes.</param>
/// <param name="Width">Time above half of the peak, s.</param>
/// <param name="Sight">Where it is no flash: whether one would have been told.</param>
/// <param name="Confirmation">Significance of it in the second detector; null where that was not asked, or could not tell.</param>
internal sealed record PassVerdict(bool Flash, double OnsetSeconds, double Significance, bool Uncertain, PassRecord Record, double Width, PassSight Sight, double? Confirmation)
{
    /// <summary>Whether the pass left nothing in a detector that saw those before it clearly: the flame was not there.</summary>
    public bool LeftNothing { get; init; }

    /// <summary>Whether the detector stood at the end of its range: a flash on top of that could not be seen.</summary>
    public bool AtEnd { get; init; }

    /// <summary>Longest time without a reading while the flame was over the cup, s, where a flash fits into it; 0 where none does.</summary>
    public double HiddenSeconds { get; init; }

    /// <summary>Whether it is no flash so far, and something stays: another look may tell what it is.</summary>
    public bool Open { get; init; }
}

/// <summary>Tells a flash from the warmth of the test flame and from the halo.</summary>
/// <remarks>
/// Four ways a pass can count as ignited: a part that is sudden, beyond noise and beyond what the passes before showed;
/// a blink, higher than the passes before and over sooner; a peak several times higher than any of them; or a glow that stays after the flame has gone. The halo is slow and
/// grows from pass to pass; it is none of these.
/// </remarks>
internal static class PassJudge
{
    /// <summary>Readings before the flame that the window takes in, s.</summary>
    /// <remarks>No multiple of a usual time between readings, so that no reading is in or out by rounding.</remarks>
    public const double LeadSeconds = 1.0037;

    /// <summary>Readings after the flame that the window takes in, s.</summary>
    public const double TailSeconds = 1.0037;

    /// <summary>An onset is looked for no longer than this after the flame came, s: far longer than any pass, and short enough to search.</summary>
    public const double LongestLookSeconds = 10;

    /// <summary>Passes that stand out by so many deviations of short means leave no doubt that the detector sees the flame.</summary>
    public const double ClearPass = 15;
    private const int ClearPasses = 4;

    // A glow that lasts, and a blink where passes before could be seen, began with a rise that stands out, or the glow is far above any drift.
    private const double SomeDeviations = 4;
    private const double CertainGlow = 25;

    private const double BlinkSeconds = 0.45;

    /// <summary>The model of a pass is no better than this share of it.</summary>
    public const double LeastNoiseShareOfPeak = 0.004;
    private const double NearSeconds = 0.15;

    public static PassVerdict Judge(Pass pass, DetectorHistory history, PassMemory memory, double now, SecondDetector? second = null)
    {
        using var room = WindowRoom.Open();
        var noise = pass.Noise;
        var asCame = history.Between(pass.Start - LeadSeconds, Math.Min(now, pass.End + TailSeconds));
        var spectrum = pass.Spectrum;
        var raw = HumWave.TakeOff(pass.Hum, asCame, double.PositiveInfinity, ref spectrum).WithoutSpikes(noise.White);
        var window = raw.Above(noise.Baseline);
        var smooth = window.Smoothed(IdleNoise.SmoothSeconds);
        var (peak, width, halfRise, halfFall) = Bump(smooth, pass.Start - 0.1);
        if (peak <= 0)
        {
            return new PassVerdict(false, pass.Start, 0, false, new PassRecord(0, 0, noise.Smooth, 0, 0, 0), 0, PassSight.None, null) { LeftNothing = IsClear(memory), HiddenSeconds = PassSight.Hidden(window, pass) };
        }

        var linger = Math.Max(0, MeanAfter(window, window.Times[^1] - 0.25));
        var question = Question(pass, spectrum, window, memory, now, peak, linger);
        var evidence = FlashTest.RunQuickly(question, shared: second is not null);
        var confirmation = evidence is { Significance: >= SuddenPart.SharedDeviations } asked ? second?.Confirm(pass, asked.OnsetSeconds, now) : null;
        var part = evidence is { } strong ? SuddenPart.Of(question, strong, pass, memory, peak, confirmation) : null;
        var sudden = part is { } one && (SuddenPart.IsPlain(one, memory) || !LikeBefore(pass, memory, window, peak, width, halfRise, halfFall));
        var blink = Blinked(memory, noise, peak, width) && (memory.VisibleCount < 3 || evidence is null or { Significance: >= SomeDeviations });
        var outgrown = memory.Count >= 3 && peak > 4 * memory.Peak && peak > 12 * noise.Smooth;
        var towering = outgrown && memory.Clarity > 5;
        var settled = pass.FlameSeen ? now - pass.End >= 0.8 : now - pass.Start >= 3;
        var glow = linger - Drifted(window, pass);
        var lasting = settled && glow > Math.Max((memory.VisibleCount > 0 ? 10 : 15) * noise.Smooth, Math.Max(0.2 * peak, 3 * memory.Linger)) && (evidence is { Significance: >= SomeDeviations } || glow > CertainGlow * noise.Smooth);
        lasting |= LastingGlow.Burns(pass, history, memory, now);
        var flash = sudden || blink || towering || lasting;
        var strongest = sudden || (lasting && evidence is { Significance: >= SomeDeviations }) ? FlashTest.Onset(question, sudden ? part!.Value : evidence!.Value) : halfRise;
        var onset = !flash ? pass.Start
            : lasting ? FirstGlow(window, smooth, pass, memory, Math.Min(0.9 * peak, Math.Max(0.5 * linger, 1.2 * memory.Peak)), linger, strongest)
            : strongest;
        var unexplained = evidence is { } found ? Math.Max(0, found.Height - (4.5 * found.HeightUncertainty)) : 0;
        var record = new PassRecord(peak, width, noise.Smooth, unexplained, linger, evidence?.Significance ?? 0);
        return new PassVerdict(flash, onset, evidence?.Significance ?? 0, outgrown && !flash, record, width, PassSight.Of(pass, window, evidence, record), confirmation)
        {
            LeftNothing = !flash && !record.Visible && IsClear(memory),
            HiddenSeconds = PassSight.Hidden(window, pass),
            AtEnd = DetectorEnd.Reached(asCame, pass.Start, noise, pass.HalfCount),
            Open = !flash && LastingGlow.IsWorthAnotherLook(linger, noise),
        };
    }

    // Where so many passes stood out so far, one that does not stand out at all was none.
    private static bool IsClear(PassMemory memory) => memory.VisibleCount >= ClearPasses && memory.Clarity > ClearPass;

    private static FlashQuestion Question(Pass pass, NoiseSpectrum? spectrum, DetectorStretch window, PassMemory memory, double now, double peak, double linger)
    {
        var noise = spectrum ?? NoiseSpectrum.OfWhite(pass.Noise.Effective);
        var white = Math.Max(pass.HalfCount, LeastNoiseShareOfPeak * peak);
        return new(window, noise, white, Math.Max(3 * Math.Max(white, Math.Sqrt(noise.Variance)), Math.Max(peak, memory.Peak)), pass.Start - 0.1, Math.Min(Math.Min(pass.End + 0.9, now), pass.Start + LongestLookSeconds), 1.3 * peak, linger)
        {
            Known = memory.Course(pass.Start),
            KnownShare = memory.CourseShare,
            LateFrom = pass.FlameSeen ? pass.End : double.PositiveInfinity,
        };
    }

    // A burn flickers, and one of its flickers may rise more sharply than its beginning. It began when the glow first stood
    // above half of what is left of it and above every pass before, unless the strongest rise lies right there or what
    // stood before it was the test flame.
    private static double FirstGlow(DetectorStretch window, DetectorStretch smooth, Pass pass, PassMemory memory, double level, double linger, double strongest)
    {
        var from = pass.Start - 0.1;
        var first = 0;
        while (first < smooth.Times.Length && !(smooth.Values[first] > level && smooth.Times[first] >= from))
        {
            first++;
        }

        if (first == smooth.Times.Length || smooth.Times[first] > strongest - NearSeconds)
        {
            return strongest;
        }

        return GlowOnset.Began(window.Above(memory.Course(pass.Start)), smooth, smooth.Times[first], strongest, level, linger, memory.Peak);
    }

    // A pass with edges of its own: the first one that lasts as long as the flame, or one no higher than those before.
    private static bool LikeBefore(Pass pass, PassMemory memory, DetectorStretch window, double peak, double width, double rise, double fall)
    {
        if (memory.Count > 0)
        {
            return peak < 1.6 * memory.Peak && (memory.Edged || (!memory.IsKnown && width > 0.6 * memory.Width));
        }

        var tolerance = 0.15 + (1.5 * window.MedianSpacingSeconds());
        return pass.FlameSeen ? Math.Abs(rise - pass.Start) < tolerance && Math.Abs(fall - pass.End) < tolerance : width >= BlinkSeconds;
    }

    // Higher than the passes before and over sooner than any of them; where they could not be seen, high and brief.
    private static bool Blinked(PassMemory memory, IdleNoise noise, double peak, double width) => memory.VisibleCount >= 3
        ? peak > 1.8 * memory.Peak && peak > 8 * noise.Smooth && width < Math.Min(0.36, 0.7 * memory.Width)
        : peak > Math.Max(25 * noise.Smooth, 3 * memory.Peak) && width < 0.3;

    // Highest point at or after a time, and the stretch around it above half of its height.
    private static (double Peak, double Width, double Rise, double Fall) Bump(DetectorStretch window, double from)
    {
        var top = -1;
        for (var i = 0; i < window.Values.Length; i++)
        {
            if (window.Times[i] >= from && (top < 0 || window.Values[i] > window.Values[top]))
            {
                top = i;
            }
        }

        if (top < 0 || window.Values[top] <= 0)
        {
            return (0, 0, from, from);
        }

        var half = window.Values[top] / 2;
        int first = top, last = top;
        while (first > 0 && window.Values[first - 1] >= half)
        {
            first--;
        }

        while (last < window.Values.Length - 1 && window.Values[last + 1] >= half)
        {
            last++;
        }

        return (window.Values[top], window.Times[last] - window.Times[first], window.Times[first], window.Times[last]);
    }

    // What a drift that was there before the pass has become at the end of the window; a fall is not counted.
    private static double Drifted(DetectorStretch window, Pass pass)
    {
        var before = window.Between(pass.Start - LeadSeconds, pass.Start - (LeadSeconds / 2));
        var middle = window.Between(pass.Start - (LeadSeconds / 2), pass.Start - 0.1);
        if (before.Times.Length < 3 || middle.Times.Length < 3)
        {
            return 0;
        }

        var slope = (Robust.Median(middle.Values) - Robust.Median(before.Values)) / (Robust.Median(middle.Times) - Robust.Median(before.Times));
        return Math.Max(0, slope * (window.Times[^1] - pass.Start));
    }

    private static double MeanAfter(DetectorStretch window, double from)
    {
        double sum = 0;
        var n = 0;
        for (var i = window.Values.Length - 1; i >= 0 && window.Times[i] >= from; i--)
        {
            sum += window.Values[i];
            n++;
        }

        return sum / Math.Max(1, n);
    }
}
