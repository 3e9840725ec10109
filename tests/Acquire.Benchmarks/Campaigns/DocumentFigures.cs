namespace Acquire.Benchmarks.Campaigns;

/// <summary>Puts measured figures between two marks in a document of the repository.</summary>
internal static class DocumentFigures
{
    /// <summary>Replaces what stands between <c>&lt;!-- name: begin --&gt;</c> and <c>&lt;!-- name: end --&gt;</c>.</summary>
    /// <param name="path">Path from the root of the repository.</param>
    /// <param name="name">Name of the marks.</param>
    /// <param name="text">Markdown.</param>
    /// <exception cref="InvalidOperationException">The document or its marks are not there: run it from within the repository.</exception>
    public static void Replace(string path, string name, string text)
    {
        var folder = new DirectoryInfo(Environment.CurrentDirectory);
        while (folder is not null && !File.Exists(Path.Combine(folder.FullName, path)))
        {
            folder = folder.Parent;
        }

        var file = Path.Combine(folder?.FullName ?? throw new InvalidOperationException($"No {path} here or above."), path);
        var document = File.ReadAllText(file);
        var (begin, end) = ($"<!-- {name}: begin -->", $"<!-- {name}: end -->");
        var (from, to) = (document.IndexOf(begin, StringComparison.Ordinal), document.IndexOf(end, StringComparison.Ordinal));
        if (from < 0 || to < from)
        {
            throw new InvalidOperationException($"{path} has no marks {begin} and {end}.");
        }

        File.WriteAllText(file, $"{document[..(from + begin.Length)]}\n\n{text.ReplaceLineEndings("\n").Trim()}\n\n{document[to..]}");
    }
}
