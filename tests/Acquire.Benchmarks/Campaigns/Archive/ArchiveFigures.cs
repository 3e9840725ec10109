using System.Globalization;
using System.Text;

namespace Acquire.Benchmarks.Campaigns.Archive;

/// <summary>`archive-figures`: what the archive takes and how fast it is, written into docs/archive-figures.md.</summary>
internal static class ArchiveFigures
{
    private const string Document = "docs/archive-figures.md";

    /// <summary>Measures everything and writes it; `print` only prints.</summary>
    public static async Task<int> RunAsync(string[] args)
    {
        var print = args is ["print", ..];
        foreach (var (name, measure) in ((string, Func<StringBuilder, Task>)[])
            [("codecs", CodecFigures.WriteAsync), ("disk", DiskFigures.WriteAsync), ("append", AppendFigures.WriteAsync), ("curve", CurveFigures.WriteAsync), ("open", OpenFigures.WriteAsync)])
        {
            if (args.Length > (print ? 1 : 0) && !args.Contains(name))
            {
                continue;
            }

            var text = new StringBuilder();
            await measure(text).ConfigureAwait(false);
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"[{name}]\n{text}"));
            if (!print)
            {
                DocumentFigures.Replace(Document, name, text.ToString());
            }
        }

        return 0;
    }
}
