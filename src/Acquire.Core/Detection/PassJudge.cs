namespace Acquire.Core.Detection;

/// <summary>A stretch of detector readings that holds one pass of the test flame.</summary>
/// <param name="Start">When the flame came over the cup, or the detector first stirred, s.</param>
/// <param name="End">When it left, or the detector came to rest, s.</param>
/// <param name="FlameSeen">Whether start and end come from a flame-position signal.</param>
/// <param name="Noise">Quiet detector before the pass.</param>
internal sealed record Pass(double Start, double End, bool FlameSeen, IdleNoise Noise, NoiseSpectrum? Spectrum = null);

/// <summary>What a pass turned out to be.</summary>
/// <param name="Flash">Whether something ignited.</param>
/// <param name="OnsetSeconds">When it ignited, s; start of the pass where nothing did.</param>
/// <param name="Significance">Height of the strongest sudden part over its uncertainty.</param>
/// <param name="Uncertain">An event that is neither clearly a flash nor clearly the halo.</param>
/// <param name="Record">Figures for the memory of passes.</param>
/// <param name="Width">Time above half of the peak, s.</param>
/// <param name="Sight">Where it is no flash: whether one would have been told.</param>
internal sealed record PassVerdict(bool Flash, double OnsetSeconds, double Significance, bool Uncertain, PassRecord Record, double Width, PassSight Sight)
{
    public FlashEvidence? Evidence { get; init; }
    public string? Why { get; init; }
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

    // An onset is looked for no longer than this after the flame came, s: far longer than any pass, and short enough to search.
    private const double LongestLookSeconds = 10;

    // Threshold in standard deviations for a window with some fifty independent onsets and thirty passes in a run:
    // a normal tail of 1e-9 each, with room for noise that is not quite normal.
    private const double SuddenDeviations = 6;
    private const double FirstPassDeviations = 8;

    // Against draught flicker and noise with a memory: this many deviations of short means at rest.
    private const double LeastHeight = 5;

    // A pass may show three times the unexplained part of those before it: the halo can double between applications.
    private const double GrowthOfUnexplained = 3;
    private const double FirstPassShareOfPeak = 0.6;
    private const double LeastShareOfPeak = 0.1;

    // A part that begins as the flame arrives or leaves may be the flame's own edge; it has to dominate the pass to count.
    private const double EdgeSeconds = 0.12;
    private const double EdgeShareOfPeak = 0.4;
    private const double BlinkSeconds = 0.45;
    private const double NearSeconds = 0.15;

    public static PassVerdict Judge(Pass pass, DetectorHistory history, PassMemory memory, double now)
    {
        var noise = pass.Noise;
        var raw = history.Between(pass.Start - LeadSeconds, Math.Min(now, pass.End + TailSeconds)).WithoutSpikes(noise.White);
        var window = raw with { Values = Array.ConvertAll(raw.Values, value => value - noise.Baseline) };
        var smooth = window.Smoothed(IdleNoise.SmoothSeconds);
        var (peak, width, halfRise, halfFall) = Bump(smooth, pass.Start - 0.1);
        if (peak <= 0)
        {
            return new PassVerdict(false, pass.Start, 0, false, new PassRecord(0, 0, noise.Smooth, 0, 0), 0, PassSight.None);
        }

        var white = Math.Max(noise.Effective, 0.004 * peak);
        var linger = Math.Max(0, MeanAfter(window, window.Times[^1] - 0.25));
        var spectrum = pass.Spectrum ?? new NoiseSpectrum(white * white, [0, 0, 0], 0);
        var question = new FlashQuestion(window, spectrum, Math.Max(0.004 * peak, pass.Spectrum is null ? white : 0), Math.Max(3 * white, Math.Max(peak, memory.Peak)), pass.Start - 0.1, Math.Min(Math.Min(pass.End + 0.9, now), pass.Start + LongestLookSeconds), 1.3 * peak, linger, memory.Course(pass.Start));
        var evidence = FlashTest.Run(question);
        var height = evidence?.Height ?? 0;
        var sigma = evidence?.HeightUncertainty ?? double.PositiveInfinity;
        var limit = (DeviationsFor(memory) * sigma) + (GrowthOfUnexplained * memory.Unexplained);
        var known = memory.Count >= 3;
        var sudden = (evidence?.Significance ?? 0) >= (known ? 5.3 : DeviationsFor(memory)) && height >= GrowthOfUnexplained * memory.Unexplained
            && height >= Math.Max((known ? 1 : LeastHeight) * noise.Smooth, Share(pass, memory, evidence) * peak) && !LikeBefore(pass, memory, window, peak, width, halfRise, halfFall);
        var blink = Blinked(memory, noise, peak, width);
        var outgrown = memory.Count >= 3 && peak > 4 * memory.Peak && peak > 12 * noise.Smooth;
        var towering = outgrown && memory.Clarity > 5;
        var settled = pass.FlameSeen ? now - pass.End >= 0.8 : now - pass.Start >= 3;
        var lasting = settled && linger > Math.Max((memory.VisibleCount > 0 ? 10 : 15) * noise.Smooth, Math.Max(0.2 * peak, 3 * memory.Linger));
        var flash = sudden || blink || towering || lasting;
        var strongest = sudden ? evidence!.Value.OnsetSeconds : halfRise;
        var onset = !flash ? pass.Start
            : lasting ? FirstGlow(smooth, pass.Start - 0.1, Math.Min(0.9 * peak, Math.Max(0.5 * linger, 1.2 * memory.Peak)), strongest)
            : strongest;
        var unexplained = evidence is null ? 0 : Math.Max(0, height - (4.5 * sigma));
        var record = new PassRecord(peak, width, noise.Smooth, unexplained, linger);
        return new PassVerdict(flash, onset, evidence?.Significance ?? 0, outgrown && !flash, record, width, PassSight.Of(pass, window, evidence, record)) { Evidence = evidence, Why = $"peak {peak:F1} smooth {noise.Smooth:F2} unexpl {memory.Unexplained:F2} share {Share(pass, memory, evidence):F2} like {LikeBefore(pass, memory, window, peak, width, halfRise, halfFall)} sud {sudden} blink {blink} tow {towering} last {lasting} n {memory.Count}" };
    }

    // A burn flickers, and one of its flickers may rise more sharply than its beginning. It began when the glow first stood
    // above half of what is left of it and above every pass before, unless the strongest rise lies right there.
    private static double FirstGlow(DetectorStretch smooth, double from, double level, double strongest)
    {
        var first = Array.FindIndex(smooth.Values, value => value > level);
        while (first >= 0 && smooth.Times[first] < from)
        {
            first = Array.FindIndex(smooth.Values, first + 1, value => value > level);
        }

        return first < 0 || Math.Abs(smooth.Times[first] - strongest) < NearSeconds ? strongest : Math.Min(smooth.Times[first], strongest);
    }

    private static double DeviationsFor(PassMemory memory) => memory.Count == 0 ? FirstPassDeviations : SuddenDeviations;

    // A pass with edges of its own: the first one that lasts as long as the flame, or one no higher than those before.
    private static bool LikeBefore(Pass pass, PassMemory memory, DetectorStretch window, double peak, double width, double rise, double fall)
    {
        if (memory.Count > 0)
        {
            return peak < 1.6 * memory.Peak && (memory.Edged || (memory.Count <= 3 && width > 0.6 * memory.Width));
        }

        var tolerance = 0.15 + (1.5 * window.MedianSpacingSeconds());
        return pass.FlameSeen ? Math.Abs(rise - pass.Start) < tolerance && Math.Abs(fall - pass.End) < tolerance : width >= BlinkSeconds;
    }

    // Higher than the passes before and over sooner than any of them; where they could not be seen, high and brief.
    private static bool Blinked(PassMemory memory, IdleNoise noise, double peak, double width) => memory.VisibleCount >= 3
        ? peak > 1.8 * memory.Peak && peak > 8 * noise.Smooth && width < Math.Min(0.36, 0.7 * memory.Width)
        : peak > Math.Max(25 * noise.Smooth, 3 * memory.Peak) && width < 0.3;

    // The share of the pass that a sudden part must make up. While little is known of the passes it must dominate them.
    private static double Share(Pass pass, PassMemory memory, FlashEvidence? evidence)
    {
        var atEdge = (pass.FlameSeen || memory.VisibleCount >= 2) && evidence is { } found
            && (Math.Abs(found.OnsetSeconds - pass.Start) < EdgeSeconds || Math.Abs(found.OnsetSeconds - pass.End) < EdgeSeconds);
        var known = memory.Count switch { 0 => FirstPassShareOfPeak, 1 => 0.45, 2 => 0.3, _ => LeastShareOfPeak };
        return Math.Max(known, atEdge ? EdgeShareOfPeak : 0);
    }

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
