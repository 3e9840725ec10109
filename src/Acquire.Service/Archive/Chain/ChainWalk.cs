using System.Globalization;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Chain;

/// <summary>Goes along the chain from its start and compares each link with the one before, and each record with its link.</summary>
/// <param name="connection">A connection with an open read.</param>
/// <param name="names">Ids of runs.</param>
/// <param name="pruned">Numbers of runs that were pruned, and how many records of each are to be gone.</param>
/// <param name="faults">Told what is wrong.</param>
internal sealed class ChainWalk(SqliteConnection connection, RunNames names, IReadOnlyDictionary<long, long> pruned, FaultList faults) : IDisposable
{
    private readonly Dictionary<long, SqliteCommand> _selects = [];
    private readonly RecordDigest _digest = new();

    // After a link that is not what was written, the next one may follow what stands there or what should.
    private byte[] _stored = ChainLink.Nothing;
    private byte[] _meant = ChainLink.Nothing;
    private long _next;

    /// <summary>Records compared, by the word of their kind.</summary>
    public Dictionary<string, long> Records { get; } = [];

    /// <summary>Records that are gone because their run was pruned, by the number of the run.</summary>
    public Dictionary<long, long> Pruned { get; } = [];

    /// <summary>Number and digest of the last link; null where there is none.</summary>
    public (long Number, byte[] Digest)? Last { get; private set; }

    /// <summary>Digest of the link that a witness knows; null until the walk has passed it.</summary>
    public byte[]? AtWitness { get; private set; }

    /// <summary>Goes along the whole chain.</summary>
    /// <param name="witnessed">Number of the link that a witness knows; null for none.</param>
    public void Run(long? witnessed)
    {
        using var command = connection.CreateCommand();
        command.CommandText = "SELECT link, kind, run, part, substr(record, 1, 64), substr(digest, 1, 64) FROM chain ORDER BY link";
        using var reader = command.ExecuteReader();
        while (reader.Read())
        {
            var link = new ChainLink(reader.GetInt64(0), reader.GetInt64(1), reader.GetInt64(2), reader.GetInt64(3), reader.GetFieldValue<byte[]>(4), reader.GetFieldValue<byte[]>(5));
            Take(link);
            Last = (link.Number, link.Digest);
            AtWitness = link.Number == witnessed ? link.Digest : AtWitness;
        }

        foreach (var (run, records) in pruned.Where(one => Pruned.GetValueOrDefault(one.Key) != one.Value))
        {
            faults.Add(names.Of(run), RecordKind.Pruning.Word, string.Create(CultureInfo.InvariantCulture, $"it says that {records} records are gone, and the chain knows of {Pruned.GetValueOrDefault(run)}"));
        }

        if (Last is null)
        {
            faults.Add(null, "the chain", "it is empty; every archive has at least a start");
        }
    }

    public void Dispose()
    {
        foreach (var select in _selects.Values)
        {
            select.Dispose();
        }
    }

    private void Take(ChainLink link)
    {
        var gap = link.Number > _next;
        if (gap)
        {
            faults.Add(null, Links(_next, link.Number - 1), "missing from the chain");
        }

        var actual = ActualRecord(link);
        if (!gap && !link.Follows(_stored) && !link.Follows(_meant))
        {
            Broken(link, actual);
        }
        else if (actual is { } record && !record.AsSpan().SequenceEqual(link.Record))
        {
            Tell(link, "altered: it is not what was written, or stands in another's place");
        }

        _stored = link.Digest.Length == ChainLink.DigestBytes ? link.Digest : ChainLink.Nothing;
        _next = link.Number + 1;
    }

    // The link itself is wrong; its record may be sound all the same.
    private void Broken(ChainLink link, byte[]? actual)
    {
        var record = actual ?? link.Record;
        _meant = record.Length == ChainLink.DigestBytes ? ChainLink.DigestOf(_stored, link.Number, link.Kind, link.Run, link.Part, record) : ChainLink.Nothing;
        var sound = link.Digest.AsSpan().SequenceEqual(_meant);
        Tell(link, sound
            ? string.Create(CultureInfo.InvariantCulture, $"its digest in link {link.Number} of the chain was altered; the record itself is what was written")
            : string.Create(CultureInfo.InvariantCulture, $"its link {link.Number} of the chain was altered, put in another's place or inserted"));
    }

    // Null, and told, where the record is not there.
    private byte[]? ActualRecord(ChainLink link)
    {
        if (RecordKind.Of(link.Kind) is not { } kind)
        {
            faults.Add(null, Links(link.Number, link.Number), string.Create(CultureInfo.InvariantCulture, $"it is of the kind {link.Kind}, which this program does not know"));
            return null;
        }

        var select = SelectFor(kind);
        (select.Parameters[0].Value, select.Parameters[1].Value) = (link.Run, link.Part);
        using var row = select.ExecuteReader();
        var prunedAway = pruned.ContainsKey(link.Run) && kind.GoesWithPruning;
        if (!row.Read())
        {
            if (prunedAway)
            {
                Pruned[link.Run] = Pruned.GetValueOrDefault(link.Run) + 1;
            }
            else
            {
                Tell(link, "missing");
            }

            return null;
        }

        if (prunedAway)
        {
            Tell(link, "it is there although its run was pruned");
        }

        Records[kind.Word] = Records.GetValueOrDefault(kind.Word) + 1;
        return _digest.Of(kind, row);
    }

    private void Tell(ChainLink link, string text)
    {
        var record = RecordKind.Of(link.Kind) is { } kind ? ArchiveFault.Name(kind, link.Part) : Links(link.Number, link.Number);
        faults.Add(link.Run == 0 ? null : names.Of(link.Run), record, text);
    }

    private SqliteCommand SelectFor(RecordKind kind)
    {
        if (!_selects.TryGetValue(kind.Code, out var select))
        {
            select = connection.CreateCommand();
            select.CommandText = kind.Select;
            select.Parameters.Add(new SqliteParameter("$run", null));
            select.Parameters.Add(new SqliteParameter("$part", null));
            _selects[kind.Code] = select;
        }

        return select;
    }

    private static string Links(long from, long to) =>
        from == to ? string.Create(CultureInfo.InvariantCulture, $"link {from}") : string.Create(CultureInfo.InvariantCulture, $"links {from} to {to}");
}
