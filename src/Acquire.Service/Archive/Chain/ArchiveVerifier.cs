using System.Globalization;
using Acquire.Service.Archive.Database;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Chain;

/// <summary>Reads a whole archive and tells what is not as it was written. Changes nothing; the service may write meanwhile.</summary>
public static class ArchiveVerifier
{
    /// <summary>Verifies the archive as it is at this moment.</summary>
    /// <param name="path">The database file.</param>
    /// <param name="witnessed">A head that was exported earlier and kept elsewhere; null where there is none.</param>
    /// <exception cref="ArchiveRefusedException">The file is not there, is no archive, or has no chain yet.</exception>
    public static ArchiveVerification Verify(string path, ArchiveHead? witnessed = null)
    {
        var faults = new FaultList();
        var notProved = new List<string>();
        var records = new Dictionary<string, long>();
        ArchiveHead? head = null;
        try
        {
            using var connection = ChainFile.Open(path);
            using var moment = connection.BeginTransaction(deferred: true);
            foreach (var fault in FileFaults(connection))
            {
                faults.Add(null, "the database file", fault);
            }

            head = Compare(connection, witnessed, faults, notProved, records);
        }
        catch (ArchiveEmptyException exception)
        {
            faults.Add(null, "the database file", exception.Message);
            CompareWithWitness(null, null, witnessed, faults);
        }
        catch (SqliteException exception) when (SqliteFault.IsDamage(exception))
        {
            faults.Add(null, "the database file", $"damaged, and not read any further: {exception.Message}");
        }

        notProved.Add(witnessed is null
            ? "No head from a witness was given: whoever can write to the archive can take its newest records away, or compute the whole chain anew, and this check would not tell. Export heads (acquire archive head) and keep them where nobody can change them."
            : "Records younger than the head that was given are only compared with the chain in the file: whoever can write to the archive can compute that part anew.");
        notProved.Add("That a record was true when it was written, who really sat at the keyboard, and that the clock was right.");
        return new(head, records, faults.Kept, faults.LeftOut, notProved);
    }

    private static ArchiveHead? Compare(SqliteConnection connection, ArchiveHead? witnessed, FaultList faults, List<string> notProved, Dictionary<string, long> records)
    {
        using var names = new RunNames(connection);
        var pruned = PruningList.In(connection);
        using var walk = new ChainWalk(connection, names, pruned, faults);
        walk.Run(witnessed?.Link);
        StrayRecords.Tell(connection, names, faults, notProved);
        foreach (var (word, count) in walk.Records)
        {
            records[word] = count;
        }

        if (pruned.Count > 0)
        {
            notProved.Add(string.Create(CultureInfo.InvariantCulture, $"What was in the {walk.Pruned.Values.Sum()} records of {pruned.Count} runs that were pruned. Who did it, when and why is in the record (acquire archive audit)."));
        }

        var start = ChainFile.StartOf(connection);
        if (start is { FromVersion: > 0 })
        {
            notProved.Add($"The archive was taken over from content of version {start.FromVersion} on {start.AtUtc}: what was in it then got its place in the chain on that day, not when it was written.");
        }

        var head = walk.Last is { } last && start is not null ? new ArchiveHead(start.Archive, last.Number, last.Digest, null) : null;
        CompareWithWitness(head, walk.AtWitness, witnessed, faults);
        return head;
    }

    private static void CompareWithWitness(ArchiveHead? head, byte[]? digest, ArchiveHead? witnessed, FaultList faults)
    {
        if (witnessed is null)
        {
            return;
        }

        if (head is not null && head.Archive != witnessed.Archive)
        {
            faults.Add(null, "the head", $"it is of archive {witnessed.Archive}, and this is {head.Archive}: another archive, or one whose chain was begun anew");
        }
        else if (head is null || witnessed.Link > head.Link)
        {
            faults.Add(null, "the head", string.Create(CultureInfo.InvariantCulture, $"it names link {witnessed.Link}, and the chain ends at link {head?.Link ?? -1}: the newest {witnessed.Link - (head?.Link ?? -1)} records are missing, or an older copy of the file was put in its place"));
        }
        else if (digest is null || !digest.AsSpan().SequenceEqual(witnessed.Digest.Span))
        {
            faults.Add(null, "the head", string.Create(CultureInfo.InvariantCulture, $"link {witnessed.Link} is not the one it names: the chain was written anew at that link or before it"));
        }
    }

    private static List<string> FileFaults(SqliteConnection connection)
    {
        using var command = connection.CreateCommand();
        command.CommandText = "PRAGMA integrity_check";
        using var reader = command.ExecuteReader();
        var faults = new List<string>();
        while (reader.Read())
        {
            if (reader.GetString(0) is not "ok" and var fault)
            {
                faults.Add(fault);
            }
        }

        return faults;
    }
}
