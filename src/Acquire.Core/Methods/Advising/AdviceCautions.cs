namespace Acquire.Core.Methods.Advising;

/// <summary>What holds whatever method is chosen.</summary>
internal static class AdviceCautions
{
    private static readonly AdviceNote[] Always =
    [
        new("specification-rules", "the specification or regulation names the method, and the method's own text rules; this is advice", Cited.CommonPractice),
        new("open-cup-reads-higher", "open-cup readings run higher than closed-cup ones: benches quote 20 to 60 °C for lubricants, texts 5 to 30 °C; never convert one into the other", Cited.CommonPractice),
        new("cup-by-flash", "oils with a low flash belong in a bath-heated closed cup, oils with a high one in a direct-heated closed cup or the open cup, which suits high flash points only", Cited.CommonPractice),
        new("open-flame", "open flame, hot oil, vapour: read the cautions of the method before you heat; nothing here makes it safe", Cited.CommonPractice),
    ];

    /// <summary>The cautions for a question; four always.</summary>
    public static IReadOnlyList<AdviceNote> For(AdviceQuestion question) =>
    [
        .. Always,
        .. question.Purpose == TestPurpose.InServiceTrend
            ? [new AdviceNote("trend-same-method", "a trend compares figures by one method and one kind of cup: stay with that of the earlier figures", Cited.CommonPractice)]
            : Array.Empty<AdviceNote>(),
        .. question.VolatileContamination
            ? [new AdviceNote("volatile-first-application", "with something volatile the flash can come far below what the clean product shows: begin cold and early; the limits of the first application need not be kept in a closed cup", "ASTM D93, 11.1.5 to 11.1.7 (volatile contamination)")]
            : Array.Empty<AdviceNote>(),
        .. question is { Purpose: TestPurpose.HazardClass, FirePoint: true }
            ? [new AdviceNote("two-determinations", "class limits need a closed cup, a fire point an open one: these are two determinations, ask for each", "UN GHS, chapter 2.6, and ADR, 2.2.3.1")]
            : Array.Empty<AdviceNote>(),
    ];
}
