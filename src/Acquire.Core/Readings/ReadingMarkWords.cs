namespace Acquire.Core.Readings;

/// <summary>A mark of a reading in words.</summary>
/// <param name="Mark">The one mark.</param>
/// <param name="Word">Its word in files and in the API; it never changes.</param>
/// <param name="Sentence">For people: what it is and what to check.</param>
public sealed record ReadingMarkWord(ReadingMarks Mark, string Word, string Sentence);

/// <summary>The words for <see cref="ReadingMarks"/>, both ways.</summary>
public static class ReadingMarkWords
{
    /// <summary>What to heed before anybody follows a sentence: show it wherever one is shown.</summary>
    public const string Caution = "The oil may be hotter than any figure says, and may burn: turn off the heat and the test flame and let the cup cool before you touch the thermometer or its wires.";

    private const char Separator = '+';

    /// <summary>All marks with their words, by ascending bit.</summary>
    public static IReadOnlyList<ReadingMarkWord> All { get; } =
    [
        new(ReadingMarks.OpenCircuit, "open-circuit", "The thermometer's circuit is open: check its plug, its cable and the sensor for a break."),
        new(ReadingMarks.ShortCircuit, "short-circuit", "The thermometer's wires touch each other: check its cable and terminals for bare wire, damp and stray strands."),
        new(ReadingMarks.ReversedPolarity, "reversed-polarity", "The thermometer reads colder than anything here can be: check whether its two wires are exchanged at the terminals or at an extension."),
        new(ReadingMarks.Stuck, "stuck", "The thermometer repeats one value although it used to change: check whether the tester still measures, and whether the sensor is in the specimen."),
        new(ReadingMarks.ImpossibleJump, "impossible-jump", "The temperature jumped faster than any specimen can follow: check the plug for a loose contact, and the cable for interference."),
        new(ReadingMarks.OutOfRange, "out-of-range", "The temperature lies outside what this thermometer or this tester can have: check that the sensor is of the kind that is configured, and its unit."),
        new(ReadingMarks.ConverterSaturated, "converter-saturated", "The signal stands at an end of the converter's range: check the range that is set on the tester, and the sensor for a break."),
        new(ReadingMarks.Stale, "stale", "The thermometer sends nothing while other readings come: check its plug and cable, and whether the tester still sends its temperature."),
        new(ReadingMarks.JunctionMissing, "junction-missing", "The temperature of the reference junction is unknown, too old or impossible, and without it the thermocouple says nothing: check whether the tester sends it, and its sensor."),
        new(ReadingMarks.TransmitterFailure, "transmitter-failure", "The transmitter signals a failure of its own: check its sensor and supply, and its manual for this signal."),
        new(ReadingMarks.Late, "late", "The reading came behind newer ones and was kept without being judged: check the network between tester and broker if this comes often."),
        new(ReadingMarks.OutsideCalibration, "outside-calibration", "The reading lies outside the calibrated span and the nearest certified correction was used: check whether the certificate covers the temperatures of this method."),
        new(ReadingMarks.StepTaken, "step-taken", "A step of the temperature lasted and was taken as real: check whether somebody moved or exchanged the thermometer at that moment."),
        new(ReadingMarks.LagUncorrected, "lag-uncorrected", "The thermometer's lag could not be corrected yet for want of readings: check for gaps in the record if this lasts longer than a run's first seconds."),
        new(ReadingMarks.Resting, "resting", "The signal has repeated one value for far longer than it used to, and no flash or fire point is read from it: check whether the tester still measures."),
    ];

    /// <summary>All words, for messages that tell what is allowed.</summary>
    public static string Known { get; } = string.Join(", ", All.Select(known => known.Word));

    /// <summary>The word and the sentence of one mark. Throws <see cref="ArgumentOutOfRangeException"/> for none, several or an unknown one.</summary>
    public static ReadingMarkWord Of(ReadingMarks mark) =>
        All.FirstOrDefault(known => known.Mark == mark) ?? throw new ArgumentOutOfRangeException(nameof(mark), mark, "is not one mark");

    /// <summary>The words of the marks, by ascending bit; empty for none.</summary>
    public static IReadOnlyList<string> List(ReadingMarks marks) =>
        marks == ReadingMarks.None ? [] : [.. All.Where(known => (marks & known.Mark) != 0).Select(known => known.Word)];

    /// <summary>The words of the marks joined by `+`, by ascending bit; empty for none. Bits that are no marks have no word.</summary>
    public static string Join(ReadingMarks marks) =>
        string.Join(Separator, List(marks));

    /// <summary>Reads what <see cref="Join"/> writes; the order does not matter.</summary>
    /// <param name="text">Words joined by `+`, exactly as they are in <see cref="All"/>; nothing for no marks.</param>
    /// <param name="marks">The marks; none where it fails.</param>
    /// <param name="unknown">Where it fails, the first word that is none.</param>
    public static bool TryParse(ReadOnlySpan<char> text, out ReadingMarks marks, out string? unknown)
    {
        (marks, unknown) = (ReadingMarks.None, null);
        if (text.IsEmpty)
        {
            return true;
        }

        foreach (var part in text.Split(Separator))
        {
            if (Find(text[part]) is not { } known)
            {
                (marks, unknown) = (ReadingMarks.None, text[part].ToString());
                return false;
            }

            marks |= known.Mark;
        }

        return true;
    }

    private static ReadingMarkWord? Find(ReadOnlySpan<char> word)
    {
        foreach (var known in All)
        {
            if (word.SequenceEqual(known.Word))
            {
                return known;
            }
        }

        return null;
    }
}
