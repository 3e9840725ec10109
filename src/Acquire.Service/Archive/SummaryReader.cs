using Acquire.Core.Results;
using Acquire.Service.Live;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive;

/// <summary>Reads a run's line in a list. What cannot be read is left out and told, so that one damaged run hides no other.</summary>
internal static class SummaryReader
{
    /// <summary>Column that holds how many rows are committed.</summary>
    public const int Rows = 9;

    /// <summary>Column that holds the run's key.</summary>
    public const int Number = 10;

    /// <summary>Selects what a line is made of, from `runs r`. What was corrected stands in it as corrected; what it was is told with the run.</summary>
    public const string Columns = """
        SELECT r.id, r.tester_id, r.method_id,
            coalesce((SELECT new_value FROM corrections WHERE run = r.number AND field = 'specimen' ORDER BY number DESC LIMIT 1), r.specimen),
            coalesce((SELECT CAST(new_value AS REAL) FROM corrections WHERE run = r.number AND field = 'expected-flash' ORDER BY number DESC LIMIT 1), r.expected_flash_celsius),
            r.started_at_utc, r.closed_at_utc, r.interrupted_at_utc,
            coalesce((SELECT l.result FROM results l WHERE l.run = r.number ORDER BY l.number DESC LIMIT 1), r.result),
            coalesce((SELECT c.first_row + c.row_count FROM chunks c WHERE c.run = r.number ORDER BY c.chunk DESC LIMIT 1), 0), r.number, r.scouting, r.specification_celsius,
            (SELECT count(*) FROM corrections WHERE run = r.number), (SELECT count(*) FROM events WHERE run = r.number AND kind = 'run-resumed'),
            (SELECT origin_archive FROM imports WHERE run = r.number ORDER BY number DESC LIMIT 1)
        FROM runs r
        """;

    /// <summary>The line at which the reader stands, and everything in it that is damaged.</summary>
    public static (RunSummary Summary, IReadOnlyList<ArchiveCorruptException> Damage) Read(SqliteDataReader reader)
    {
        var (id, damage) = (reader.GetString(0), new List<ArchiveCorruptException>());
        var scouting = reader.GetInt64(11) != 0;
        double? specification = reader.IsDBNull(12) ? null : reader.GetDouble(12);
        var startedAt = Time("its start", 5);
        DateTimeOffset? closedAt = reader.IsDBNull(6) ? null : Time("its end", 6);
        var result = reader.IsDBNull(8) ? null : Read<RunResult?>(() => Result(id, reader.GetString(8)), null);
        var summary = new RunSummary(
            id,
            reader.GetString(1),
            reader.GetString(2),
            reader.GetString(3),
            scouting || specification is not null ? null : reader.GetDouble(4),
            startedAt,
            closedAt,
            reader.GetInt64(Rows),
            !reader.IsDBNull(7),
            damage.Count == 0 ? result : null,
            scouting,
            specification,
            reader.GetInt32(13),
            reader.GetInt32(14),
            reader.IsDBNull(15) ? null : reader.GetString(15),
            damage.Count == 0 ? null : string.Join("; ", damage.Select(fault => fault.Words)));
        return (summary, damage);

        DateTimeOffset Time(string part, int column) => Read(() => ArchiveReader.Utc(id, part, reader.GetString(column)), RunSummary.UnreadableTime);

        T Read<T>(Func<T> read, T otherwise)
        {
            try
            {
                return read();
            }
            catch (ArchiveCorruptException fault)
            {
                damage.Add(fault);
                return otherwise;
            }
        }
    }

    // JSON that lacks a list reads as a result whose list is null, and an answer with it would fail as it is sent.
    private static RunResult Result(string id, string json)
    {
        const string Part = "its result";
        var result = ArchiveJson.Read<RunResult>(json, id, Part);
        return !IsWhole(result.Applications) ? throw new ArchiveCorruptException(id, Part, "its applications are missing")
            : !IsWhole(result.Findings) ? throw new ArchiveCorruptException(id, Part, "its findings are missing")
            : result;
    }

    private static bool IsWhole<T>(IReadOnlyList<T?>? list)
        where T : class => list is not null && list.All(one => one is not null);
}
