using Acquire.Service.Lanes.Starting;

namespace Acquire.Service.Sources.Capture;

/// <summary>Where what the wire said is kept, one file a run.</summary>
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
            .Where(file => file.LastWriteTimeUtc < before.UtcDateTime && RunIds.TesterOf(System.IO.Path.GetFileNameWithoutExtension(file.Name)) == testerId)
            .ToArray();
        Array.ForEach(old, file => file.Delete());
        return old.Length;
    }

    /// <summary>Size of the file of a run, bytes; null where there is none.</summary>
    public long? SizeOf(string runId) => FileOf(runId) is { } file && new FileInfo(file) is { Exists: true } found ? found.Length : null;
}
