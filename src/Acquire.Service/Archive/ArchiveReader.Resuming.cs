using Acquire.Core.Runs;
using Acquire.Service.Archive.Chain;

namespace Acquire.Service.Archive;

/// <summary>What is read of a run that goes on.</summary>
internal sealed partial class ArchiveReader
{
    /// <summary>Ids of the runs that have no end, oldest first.</summary>
    public List<string> OpenIds() => Read("(all)", connection => Texts(connection, "SELECT id FROM runs WHERE closed_at_utc IS NULL AND interrupted_at_utc IS NULL ORDER BY number"));

    /// <summary>What was known when a run began; null where there is no such run.</summary>
    public RunHeader? Header(string id) => Read(id, connection =>
    {
        using var command = Command(connection, "SELECT tester_id, specimen, plan, started_at_utc, software_version, source FROM runs WHERE id = $id", ("$id", id));
        using var reader = command.ExecuteReader();
        return !reader.Read() ? null : new RunHeader(
            id,
            reader.GetString(0),
            reader.GetString(1),
            ArchiveJson.Read<RunPlan>(reader.GetString(2), id, "its plan"),
            Utc(id, "its start", reader.GetString(3)),
            reader.GetString(4),
            reader.GetString(5));
    });

    /// <summary>Id of the newest run that a tester began here; null where there is none.</summary>
    public string? NewestOf(string testerId) => Read(testerId, connection =>
    {
        using var command = Command(connection, "SELECT id FROM runs WHERE tester_id = $tester AND NOT EXISTS (SELECT 1 FROM imports WHERE run = number) ORDER BY number DESC LIMIT 1", ("$tester", testerId));
        return command.ExecuteScalar() as string;
    });

    /// <summary>Where a run goes on: the chunk that still grows, or the next one, its first row, and the number of the next event. Throws where the chain knows records behind it: their places cannot be given again.</summary>
    public (long Chunk, long FirstRow, long NextEvent) Tail(string id, long number) => Read(id, connection =>
    {
        using var command = Command(
            connection,
            """
            SELECT c.chunk, c.first_row, c.row_count, EXISTS (SELECT 1 FROM chain WHERE run = c.run AND kind = $kind AND part = c.chunk)
            FROM chunks c WHERE c.run = $run ORDER BY c.chunk DESC LIMIT 1
            """,
            ("$run", number),
            ("$kind", (long)RecordKind.Chunk.Code));
        using var reader = command.ExecuteReader();
        var (chunk, first) = !reader.Read() ? (0, 0)
            : reader.GetInt64(3) != 0 ? (reader.GetInt64(0) + 1, reader.GetInt64(1) + reader.GetInt64(2))
            : (reader.GetInt64(0), reader.GetInt64(1));
        using var events = Command(connection, "SELECT coalesce(max(sequence) + 1, 0) FROM events WHERE run = $run", ("$run", number));
        var next = (long)events.ExecuteScalar()!;
        Gone(RecordKind.Chunk, chunk);
        Gone(RecordKind.Event, next);
        return (chunk, first, next);

        void Gone(RecordKind kind, long from)
        {
            using var known = Command(connection, "SELECT min(part) FROM chain WHERE run = $run AND kind = $kind AND part >= $part", ("$run", number), ("$kind", (long)kind.Code), ("$part", from));
            if (known.ExecuteScalar() is long part)
            {
                throw new ArchiveCorruptException(id, ArchiveFault.Name(kind, part), "it is missing, and the chain knows of it");
            }
        }
    });
}
