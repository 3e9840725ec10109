using Acquire.Core;

namespace Acquire.Service.Archive.Exports;

/// <summary>Writes a file for somebody to take away: whole or not at all, and never over one that is there unless that is asked for.</summary>
internal static class ExportFile
{
    /// <summary>Writes the file and brings it to the disk. Null, or what is wrong; then nothing is left behind.</summary>
    /// <param name="path">The file; its folder is made where there is none.</param>
    /// <param name="force">Whether one that is there may be replaced.</param>
    /// <param name="write">Writes the content.</param>
    public static async Task<InputError?> WriteAsync(string path, bool force, Func<Stream, Task> write)
    {
        if (File.Exists(path) && !force)
        {
            return Exists(path);
        }

        var begun = path + ".partial";
        try
        {
            Directory.CreateDirectory(Path.GetDirectoryName(Path.GetFullPath(path))!);
            await using (var stream = new FileStream(begun, FileMode.Create, FileAccess.ReadWrite))
            {
                await write(stream).ConfigureAwait(false);
                stream.Flush(flushToDisk: true);
            }

            File.Move(begun, path, overwrite: force);
            return null;
        }
        catch (IOException) when (File.Exists(path) && !force)
        {
            Discard(begun);
            return Exists(path);
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            Discard(begun);
            return new(path, $"cannot be written: {exception.Message}");
        }
        catch
        {
            Discard(begun);
            throw;
        }
    }

    private static InputError Exists(string path) => new(path, "is there already; --force replaces it");

    private static void Discard(string begun)
    {
        try
        {
            File.Delete(begun);
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            // What is in the way of the file is in the way of this too, and is told.
        }
    }
}
