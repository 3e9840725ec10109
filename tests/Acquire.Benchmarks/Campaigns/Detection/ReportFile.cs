namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>Where the report goes: a marked part of the document, and pictures beside it.</summary>
internal static class ReportFile
{
    private const string Begin = "<!-- detection figures: begin -->", End = "<!-- detection figures: end -->";

    /// <summary>Writes it; returns what is wrong with the document, or null.</summary>
    public static string? Write(ReportText report)
    {
        if (Docs() is not { } docs)
        {
            return "no folder above this one holds docs/detection.md";
        }

        var path = Path.Combine(docs, "detection.md");
        var text = File.ReadAllText(path);
        var (begin, end) = (text.IndexOf(Begin, StringComparison.Ordinal), text.IndexOf(End, StringComparison.Ordinal));
        if (begin < 0 || end < begin)
        {
            return $"{path} lacks the lines {Begin} and {End}";
        }

        var images = Path.Combine(docs, "images");
        foreach (var old in Directory.EnumerateFiles(images, "detection-miss-*.svg").ToArray())
        {
            File.Delete(old);
        }

        foreach (var (name, picture) in report.Pictures)
        {
            File.WriteAllText(Path.Combine(images, name), picture);
        }

        File.WriteAllText(path, text[..(begin + Begin.Length)] + "\n\n" + report.Markdown.Trim('\n') + "\n\n" + text[end..]);
        return null;
    }

    private static string? Docs()
    {
        for (var folder = new DirectoryInfo(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
        {
            var docs = Path.Combine(folder.FullName, "docs");
            if (File.Exists(Path.Combine(docs, "detection.md")))
            {
                return docs;
            }
        }

        return null;
    }
}
