using System.Globalization;
using System.Text;

namespace Acquire.Benchmarks.Campaigns.Serial;

/// <summary>Gives the framer and the decoder of serial lines bytes that no sound tester sends: pure noise, and sound lines that were damaged. Nothing may throw, and no row may hold what a reading cannot be.</summary>
internal static class SerialFuzz
{
    /// <summary>Plays the inputs; the first word may be how many.</summary>
    /// <returns>0 where all was well, 1 after a fault.</returns>
    public static int Run(string[] args) => FuzzCampaign.Run(args, "serial fuzz", LinePlay.LongestInput, random => new LinePlay(random), Write);

    private static void Write(LinePlay play, StringBuilder text)
    {
        var invariant = CultureInfo.InvariantCulture;
        text.AppendLine("| lines of | inputs | lines found | read | read though damaged | refused | too long |");
        text.AppendLine("| --- | --- | --- | --- | --- | --- | --- |");
        foreach (var (name, tally) in play.Tallies)
        {
            text.AppendLine(invariant, $"| {name} | {tally.Inputs:#,0} | {tally.Lines:#,0} | {tally.Rows:#,0} | {tally.Damaged:#,0} | {tally.Refused:#,0} | {tally.TooLong:#,0} |");
        }
    }
}

/// <summary>What became of the inputs of one kind of line.</summary>
internal sealed class LineTally
{
    public long Inputs { get; set; }

    public long Lines { get; set; }

    public long Rows { get; set; }

    public long Damaged { get; set; }

    public long Refused { get; set; }

    public long TooLong { get; set; }
}
