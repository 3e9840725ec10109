using System.Diagnostics;
using System.Globalization;
using System.Text;

namespace Acquire.Benchmarks.Campaigns.Serial;

/// <summary>Gives the framer and the decoder of serial lines bytes that no sound tester sends: pure noise, and sound lines that were damaged. Nothing may throw, and no row may hold what a reading cannot be.</summary>
/// <remarks>The seed makes it repeatable. A fault ends it with the input that made it.</remarks>
internal static class SerialFuzz
{
    private const long UsualInputs = 12_000_000;
    private const long WarmUp = 100_000;
    private const int Seed = 20_261_126;

    /// <summary>Plays the inputs; the first word may be how many. Figures of at least the usual number are written to the documentation.</summary>
    /// <returns>0 where all was well, 1 after a fault.</returns>
    public static int Run(string[] args)
    {
        var inputs = args is [var text, ..] ? long.Parse(text, CultureInfo.InvariantCulture) : UsualInputs;
        var play = new LinePlay(new Random(Seed));
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
                Console.Error.WriteLine($"Input {input} ({Convert.ToHexString(play.Input)}) for {play.Reader}: {exception}");
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

    private static void Report(LinePlay play, long inputs, TimeSpan took, long before, long peak)
    {
        var invariant = CultureInfo.InvariantCulture;
        var text = new StringBuilder();
        text.AppendLine(invariant, $"{inputs:#,0} inputs of 0 to {LinePlay.LongestInput} bytes, seed {Seed}, {took.TotalSeconds:0} s on one core: no fault. Memory held after a collection: {before / 1024:#,0} KiB after the first {WarmUp:#,0} inputs, at most {peak / 1024:#,0} KiB later.");
        text.AppendLine();
        text.AppendLine("| lines of | inputs | lines found | read | read though damaged | refused | too long |");
        text.AppendLine("| --- | --- | --- | --- | --- | --- | --- |");
        foreach (var (name, tally) in play.Tallies)
        {
            text.AppendLine(invariant, $"| {name} | {tally.Inputs:#,0} | {tally.Lines:#,0} | {tally.Rows:#,0} | {tally.Damaged:#,0} | {tally.Refused:#,0} | {tally.TooLong:#,0} |");
        }

        Console.Write(text);
        if (inputs >= UsualInputs)
        {
            DocumentFigures.Replace("docs/devices.md", "serial fuzz", text.ToString());
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
