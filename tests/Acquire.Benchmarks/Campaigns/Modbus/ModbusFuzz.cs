using System.Globalization;
using System.Text;

namespace Acquire.Benchmarks.Campaigns.Modbus;

/// <summary>Gives the Modbus codec bytes that no sound unit sends: pure noise, and sound frames that were damaged. Nothing may throw, and nothing false may pass for an answer.</summary>
internal static class ModbusFuzz
{
    /// <summary>Plays the inputs; the first word may be how many.</summary>
    /// <returns>0 where all was well, 1 after a fault.</returns>
    public static int Run(string[] args) => FuzzCampaign.Run(args, "modbus fuzz", FuzzPlay.LongestInput, random => new FuzzPlay(random), Write);

    private static void Write(FuzzPlay play, StringBuilder text)
    {
        var invariant = CultureInfo.InvariantCulture;
        text.AppendLine("| wire | inputs | taken as the answer | of these damaged | exceptions | told and refused | nothing whole yet |");
        text.AppendLine("| --- | --- | --- | --- | --- | --- | --- |");
        foreach (var (wire, tally) in play.Tallies)
        {
            text.AppendLine(invariant, $"| {wire} | {tally.Inputs:#,0} | {tally.Answers:#,0} | {tally.Damaged:#,0} | {tally.Exceptions:#,0} | {tally.Refused:#,0} | {tally.Nothing:#,0} |");
        }

        text.AppendLine();
        text.AppendLine(invariant, $"Rows made of the answers: {play.Rows:#,0}; values refused: {play.RefusedValues:#,0}.");
    }
}

/// <summary>What became of the inputs of one wire.</summary>
internal sealed class FuzzTally
{
    public long Inputs { get; set; }

    public long Answers { get; set; }

    public long Damaged { get; set; }

    public long Exceptions { get; set; }

    public long Refused { get; set; }

    public long Nothing { get; set; }
}
