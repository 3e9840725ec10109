namespace Acquire.Core.Detection;

/// <summary>Whether the strongest sudden part of a pass, or one before it, is a flash: no chance, and high enough beside the pass. Thresholds in standard deviations; see docs/detection.md.</summary>
internal static class SuddenPart
{
    /// <summary>Threshold in standard deviations for a window with some hundred independent onsets and shapes: noise reaches it in about one pass of 20,000 (docs/detection.md).</summary>
    public const double SuddenDeviations = 5.2;

    // For the first pass nothing is known of its course, and for the first three little.
    private const double FirstPassDeviations = 8;
    private const double EarlyDeviations = 6;

    // Noise that is not what it was learnt to be shows in the passes before: beyond the second strongest of them by so much.
    private const double OverPassesBefore = 1.35;

    /// <summary>This much in the first detector is worth asking the second.</summary>
    public const double SharedDeviations = 3.5;

    // This much is enough for both together.
    private const double TogetherDeviations = 6.5;

    // Noise that passes for a flash in both is mostly low: what is not higher than so many deviations of what the detector strays by itself needs more, for each that is wanting.
    private const double ClearStrays = 5;
    private const double MoreForEachStray = 0.5;

    /// <summary>How much a deviation found by the second detector counts beside one found by the first: behind its lag it shows a flash some two thirds as surely.</summary>
    public const double SecondShare = 0.6;

    // So sure, the first one is believed whatever the second says.
    private const double BeyondDoubt = 7;

    // A flash is not called one where it stands out of the quiet detector by less than this many deviations of short means.
    private const double LeastHeight = 5;
    private const double LeastHeightWhenKnown = 1;

    // A pass may show three times the unexplained part of those before it: the halo can double between applications.
    private const double GrowthOfUnexplained = 3;
    private const double FirstPassShareOfPeak = 0.6;
    private const double LeastShareOfPeak = 0.14;

    // A part that begins as the flame arrives or leaves may be the flame's own edge; it has to dominate the pass to count.
    private const double EdgeSeconds = 0.12;
    private const double EdgeShareOfPeak = 0.4;

    // Two flashes lie further apart than twice this, s: one lasts some 0.1 s.
    private const double BetweenFlashesSeconds = 0.06;

    /// <summary>The part that counts; null where none does.</summary>
    /// <param name="question">What the window was asked.</param>
    /// <param name="strongest">The strongest sudden part in it.</param>
    /// <param name="pass">The pass.</param>
    /// <param name="memory">Passes before.</param>
    /// <param name="peak">Height of the pass, detector's unit; above 0.</param>
    /// <param name="confirmation">How surely the second detector saw it, standard deviations, 0 or above; null where it was not asked, or cannot tell.</param>
    public static FlashEvidence? Of(in FlashQuestion question, in FlashEvidence strongest, Pass pass, PassMemory memory, double peak, double? confirmation)
    {
        var stray = confirmation is null ? 0 : pass.Spectrum?.Stray(question.Window.MedianSpacingSeconds()) ?? 0;
        if (!IsSure(strongest, memory, confirmation, stray))
        {
            return null;
        }

        var part = FirstOf(question, strongest, pass, memory, peak);
        return part.Height >= Least(part, pass, memory, peak) ? part : null;
    }

    /// <summary>Whether two passes before left nothing that is not explained, and this part leaves no doubt: it need not tower over them.</summary>
    public static bool IsPlain(in FlashEvidence part, PassMemory memory) => memory is { Count: 2, Unexplained: 0 } && part.Significance >= BeyondDoubt;

    // Whether a sudden part is no chance.
    private static bool IsSure(in FlashEvidence found, PassMemory memory, double? confirmation, double stray)
    {
        if (!memory.IsKnown)
        {
            return found.Significance >= (memory.Count == 0 ? FirstPassDeviations : EarlyDeviations);
        }

        var alone = Math.Max(SuddenDeviations, OverPassesBefore * memory.Restlessness);
        var together = TogetherDeviations + (stray > 0 ? MoreForEachStray * Math.Max(0, ClearStrays - (found.Height / stray)) : 0);
        return confirmation is { } other
            ? found.Significance >= Math.Max(BeyondDoubt, alone) || found.Significance + (SecondShare * other) >= Math.Max(together, alone)
            : found.Significance >= alone;
    }

    // Of two flashes in one pass the first is the flash, however strong the second: what came before the one that was found
    // is asked by itself, and has to be as sure.
    private static FlashEvidence FirstOf(in FlashQuestion question, in FlashEvidence found, Pass pass, PassMemory memory, double peak)
    {
        var before = question with { Window = question.Window.Between(double.NegativeInfinity, found.OnsetSeconds - BetweenFlashesSeconds), To = found.OnsetSeconds - (2 * BetweenFlashesSeconds) };
        if (before.To <= before.From || FlashTest.Run(before) is not { } first)
        {
            return found;
        }

        return IsSure(first, memory, null, 0) && first.Height >= Least(first, pass, memory, peak) ? first : found;
    }

    // How high a sudden part must be to count.
    private static double Least(in FlashEvidence part, Pass pass, PassMemory memory, double peak) =>
        Math.Max((memory.IsKnown ? LeastHeightWhenKnown : LeastHeight) * pass.Noise.Smooth, Math.Max(GrowthOfUnexplained * memory.Unexplained, Share(part, pass, memory) * peak));

    // The share of the pass that a sudden part must make up. While little is known of the passes it must dominate them.
    private static double Share(in FlashEvidence part, Pass pass, PassMemory memory)
    {
        var atEdge = (pass.FlameSeen || memory.VisibleCount >= 2)
            && (Math.Abs(part.OnsetSeconds - pass.Start) < EdgeSeconds || Math.Abs(part.OnsetSeconds - pass.End) < EdgeSeconds);
        var known = memory.Count switch { 0 => FirstPassShareOfPeak, 1 => 0.4, 2 => IsPlain(part, memory) ? 0.2 : 0.3, _ => LeastShareOfPeak };
        return Math.Max(known, atEdge && !(memory.IsKnown && memory.Unexplained == 0) ? EdgeShareOfPeak : 0);
    }
}
