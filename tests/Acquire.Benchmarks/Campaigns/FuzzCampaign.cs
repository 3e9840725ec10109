using System.Diagnostics;
using System.Globalization;
using System.Text;

namespace Acquire.Benchmarks.Campaigns;

/// <summary>Gives a decoder bytes that no sound device sends, and watches the memory. The seed makes it repeatable; a fault ends it with the input that made it.</summary>
internal static class FuzzCampaign
{
    private const long UsualInputs = 12_000_000;
    private const long WarmUp = 100_000;
    private const int Seed = 20_261_126;

    /// <summary>Plays the inputs; the first word may be how many. Figures of at least the usual number are written to docs/devices.md.</summary>
    /// <param name="args">What follows the command's word.</param>
    /// <param name="mark">Name of the marked part of the document.</param>
    /// <param name="longestInput">Most bytes of an input.</param>
    /// <param name="make">Makes the play.</param>
    /// <param name="table">Writes what became of the inputs.</param>
    /// <returns>0 where all was well, 1 after a fault.</returns>
    public static int Run<TPlay>(string[] args, string mark, int longestInput, Func<Random, TPlay> make, Action<TPlay, StringBuilder> table)
        where TPlay : IFuzzPlay
    {
        var inputs = args is [var text, ..] ? long.Parse(text, CultureInfo.InvariantCulture) : UsualInputs;
        var play = make(new Random(Seed));
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
                Console.Error.WriteLine($"Input {input} ({play.Newest}): {exception}");
                return 1;
            }

            if (input % WarmUp == WarmUp - 1)
            {
                var held = GC.GetTotalMemory(forceFullCollection: true);
                before = before == 0 ? held : before;
                peak = Math.Max(peak, held);
            }
        }

        var report = new StringBuilder();
        report.AppendLine(CultureInfo.InvariantCulture, $"{inputs:#,0} inputs of 0 to {longestInput} bytes, seed {Seed}, {watch.Elapsed.TotalSeconds:0} s on one core: no fault. Memory held after a collection: {before / 1024:#,0} KiB after the first {WarmUp:#,0} inputs, at most {peak / 1024:#,0} KiB later.");
        report.AppendLine();
        table(play, report);
        Console.Write(report);
        if (inputs >= UsualInputs)
        {
            DocumentFigures.Replace("docs/devices.md", mark, report.ToString());
        }

        return 0;
    }
}
