namespace Acquire.Service.Archive;

/// <summary>Reads the whole record to find damage before somebody needs it.</summary>
internal static class ArchiveCheck
{
    /// <summary>Everything found wrong, a sentence each; empty for a sound archive.</summary>
    public static IReadOnlyList<string> Run(ArchiveReader reader)
    {
        var faults = new List<string>();
        Try(faults, () => faults.AddRange(reader.FileFaults()));
        Try(faults, () =>
        {
            foreach (var id in reader.Ids())
            {
                Try(faults, () => reader.Find(id));
                Try(faults, () => ReadRows(reader, id));
            }
        });
        return faults;
    }

    private static void ReadRows(ArchiveReader reader, string id)
    {
        if (reader.FindExtent(id) is { } extent)
        {
            // Each chunk is checked while it is read; the rows themselves are not needed.
            _ = reader.Rows(id, extent.Number, extent.Rows).Count();
        }
    }

    private static void Try(List<string> faults, Action check)
    {
        try
        {
            check();
        }
        catch (ArchiveCorruptException damage)
        {
            faults.Add(damage.Message);
        }
    }
}
