namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>Where the report goes: a marked part of the document, and pictures beside it.</summary>
internal static class ReportFile
{
    /// <summary>Writes it.</summary>
    /// <exception cref="InvalidOperationException">The document or its marks are not there: run it from within the repository.</exception>
    public static void Write(ReportText report)
    {
        DocumentFigures.Replace("docs/detection.md", "detection figures", report.Markdown);
        var images = Images();
        foreach (var old in Directory.EnumerateFiles(images, "detection-miss-*.svg").ToArray())
        {
            File.Delete(old);
        }

        foreach (var (name, picture) in report.Pictures)
        {
            File.WriteAllText(Path.Combine(images, name), picture);
        }
    }

    private static string Images()
    {
        var folder = new DirectoryInfo(Environment.CurrentDirectory);
        while (folder is not null && !Directory.Exists(Path.Combine(folder.FullName, "docs/images")))
        {
            folder = folder.Parent;
        }

        return Path.Combine(folder?.FullName ?? throw new InvalidOperationException("No docs/images here or above."), "docs/images");
    }
}
