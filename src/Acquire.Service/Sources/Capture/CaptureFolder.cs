using System.Globalization;
using Acquire.Service.Lanes.Starting;

namespace Acquire.Service.Sources.Capture;

/// <summary>Where what the wire said is kept, one file a run, and one more each time that a run goes on after the service had stopped.</summary>
/// <param name="path">The folder; null where nothing is kept.</param>
public sealed class CaptureFolder(string? path)
{
    /// <summary>The folder; null where nothing is kept.</summary>
    public string? Path => path;

    /// <summary>The file of a run, whether it is there or not; null where nothing is kept.</summary>
    /// <param name="runId">Id of a run that the archive knows: it is a name without folders.</param>
    public string? FileOf(string runId) => path is null ? null : System.IO.Path.Combine(path, runId + ".wire");

    /// <summary>Deletes the files of a tester's runs that were last written before a moment; how many.</summary>
    /// <exception cref="IOException">One cannot be deleted.</exception>
    /// <exception cref="UnauthorizedAccessException">One may not be deleted.</exception>
    public int DropOlder(string testerId, DateTimeOffset before)
    {
        if (path is null || !Directory.Exists(path))
        {
            return 0;
        }

        var old = new DirectoryInfo(path).EnumerateFiles("*.wire")
            .Where(file => file.LastWriteTimeUtc < before.UtcDateTime && RunIds.TesterOf(RunOf(file.Name)) == testerId)
            .ToArray();
        Array.ForEach(old, file => file.Delete());
        return old.Length;
    }

    /// <summary>The file that a run begins or goes on with: the first of `{id}.wire`, `{id}.2.wire` and so on that is not there; null where nothing is kept.</summary>
    /// <param name="runId">Id of a run that the archive knows.</param>
    public string? NextFileOf(string runId)
    {
        var file = FileOf(runId);
        for (var part = 2; file is not null && File.Exists(file); part++)
        {
            file = FileOf(PartOf(runId, part));
        }

        return file;
    }

    /// <summary>Ids of the runs that have files here.</summary>
    public IReadOnlyList<string> Runs() => path is null || !Directory.Exists(path) ? []
        : [.. new DirectoryInfo(path).EnumerateFiles("*.wire").Select(file => RunOf(file.Name)).Distinct(StringComparer.Ordinal)];

    /// <summary>Deletes all files of a run.</summary>
    /// <exception cref="IOException">One cannot be deleted.</exception>
    /// <exception cref="UnauthorizedAccessException">One may not be deleted.</exception>
    public void Delete(string runId)
    {
        if (path is not null && Directory.Exists(path))
        {
            foreach (var file in new DirectoryInfo(path).EnumerateFiles("*.wire").Where(file => RunOf(file.Name) == runId).ToArray())
            {
                file.Delete();
            }
        }
    }

    /// <summary>Size of all files of a run together, bytes; null where there is none.</summary>
    public long? SizeOf(string runId) => FilesOf(runId).Select(file => new FileInfo(file)).Where(file => file.Exists).Aggregate((long?)null, (bytes, file) => (bytes ?? 0) + file.Length);

    /// <summary>What the wire said in a run, from all of its files; null where there is none.</summary>
    /// <exception cref="IOException">One cannot be read.</exception>
    /// <exception cref="UnauthorizedAccessException">One may not be read.</exception>
    internal WireParts? Open(string runId) => WireParts.Open(FilesOf(runId));

    // In their order. The first may be gone already, because it is older.
    private IEnumerable<string> FilesOf(string runId)
    {
        for (var part = 1; FileOf(part == 1 ? runId : PartOf(runId, part)) is { } file; part++)
        {
            if (File.Exists(file))
            {
                yield return file;
            }
            else if (part > 1)
            {
                yield break;
            }
        }
    }

    private static string PartOf(string runId, int part) => string.Create(CultureInfo.InvariantCulture, $"{runId}.{part}");

    // Ids hold no dot: behind one stands that a run has more than one file.
    private static string RunOf(string name) => name.Split('.')[0];
}
