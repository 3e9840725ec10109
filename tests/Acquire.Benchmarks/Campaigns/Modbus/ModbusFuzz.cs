using System.Diagnostics;
using System.Globalization;
using System.Text;

namespace Acquire.Benchmarks.Campaigns.Modbus;

/// <summary>Gives the Modbus codec bytes that no sound unit sends: pure noise, and sound frames that were damaged. Nothing may throw, and nothing false may pass for an answer.</summary>
/// <remarks>The seed makes it repeatable. A fault ends it with the input that made it.</remarks>
internal static class ModbusFuzz
{
    private const long UsualInputs = 12_000_000;
    private const long WarmUp = 100_000;
    private const int Seed = 20_261_126;

    /// <summary>Plays the inputs; the first word may be how many. Figures of at least the usual number are written to the documentation.</summary>
    /// <returns>0 where all was well, 1 after a fault.</returns>
    public static int Run(string[] args)
    {
        var inputs = args is [var text, ..] ? long.Parse(text, CultureInfo.InvariantCulture) : UsualInputs;
        var play = new FuzzPlay(new Random(Seed));
        var (before, peak) = (0L, 0L);
        var watch = Stopwatch.StartNew();
        for (long input = 0; input < inputs; input++)
        {
            try
            {
                play.Once();
            }
#pragma warning disable CA1031 // Whatever is thrown is what this looks for.
            catch (Exception exception)
#pragma warning restore CA1031
            {
                Console.Error.WriteLine($"Input {input} ({Convert.ToHexString(play.Input)}) for {play.Request}: {exception}");
                return 1;
            }

            if (input % WarmUp == WarmUp - 1)
            {
                var held = GC.GetTotalMemory(forceFullCollection: true);
                before = before == 0 ? held : before;
                peak = Math.Max(peak, held);
            }
        }

        Report(play, inputs, watch.Elapsed, before, peak);
        return 0;
    }

    private static void Report(FuzzPlay play, long inputs, TimeSpan took, long before, long peak)
    {
        var invariant = CultureInfo.InvariantCulture;
        var text = new StringBuilder();
        text.AppendLine(invariant, $"{inputs:#,0} inputs of 0 to {FuzzPlay.LongestInput} bytes, seed {Seed}, {took.TotalSeconds:0} s on one core: no fault. Memory held after a collection: {before / 1024:#,0} KiB after the first {WarmUp:#,0} inputs, at most {peak / 1024:#,0} KiB later.");
        text.AppendLine();
        text.AppendLine("| wire | inputs | taken as the answer | of these damaged | exceptions | told and refused | nothing whole yet |");
        text.AppendLine("| --- | --- | --- | --- | --- | --- | --- |");
        foreach (var (wire, tally) in play.Tallies)
        {
            text.AppendLine(invariant, $"| {wire} | {tally.Inputs:#,0} | {tally.Answers:#,0} | {tally.Damaged:#,0} | {tally.Exceptions:#,0} | {tally.Refused:#,0} | {tally.Nothing:#,0} |");
        }

        text.AppendLine();
        text.AppendLine(invariant, $"Rows made of the answers: {play.Rows:#,0}; values refused: {play.RefusedValues:#,0}.");
        Console.Write(text);
        if (inputs >= UsualInputs)
        {
            DocumentFigures.Replace("docs/devices.md", "modbus fuzz", text.ToString());
        }
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
