using Acquire.Core.Runs;

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

    /// <summary>Where a run goes on: the chunk that still grows, or the next one, its first row, and the number of the next event.</summary>
    public (long Chunk, long FirstRow, long NextEvent) Tail(string id, long number) => Read(id, connection =>
    {
        using var command = Command(
            connection,
            """
            SELECT c.chunk, c.first_row, c.row_count, EXISTS (SELECT 1 FROM chain WHERE run = c.run AND kind = $kind AND part = c.chunk)
            FROM chunks c WHERE c.run = $run ORDER BY c.chunk DESC LIMIT 1
            """,
            ("$run", number),
            ("$kind", (long)Chain.RecordKind.Chunk.Code));
        using var reader = command.ExecuteReader();
        var (chunk, first) = !reader.Read() ? (0, 0)
            : reader.GetInt64(3) != 0 ? (reader.GetInt64(0) + 1, reader.GetInt64(1) + reader.GetInt64(2))
            : (reader.GetInt64(0), reader.GetInt64(1));
        using var events = Command(connection, "SELECT coalesce(max(sequence) + 1, 0) FROM events WHERE run = $run", ("$run", number));
        return (chunk, first, (long)events.ExecuteScalar()!);
    });
}
