using System.Globalization;
using Acquire.Service.Archive.Rows;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Curves;

/// <summary>Reads a run's curve at a width from the archive, all of its readings, on as many cores as there are.</summary>
internal static class CurveReader
{
    /// <summary>Narrowest curve.</summary>
    public const int LeastWidth = 10;

    /// <summary>Widest curve: more than any screen has.</summary>
    public const int MostWidth = 20_000;

    private const int LeastChunksACore = 32;

    // Far below any channel's time step, and far above what a division could make of a run of one reading.
    private const double ShortestStretchSeconds = 1e-6;

    /// <summary>The curve; null where there is no such run. Throws <see cref="ArchiveCorruptException"/> where a chunk is damaged.</summary>
    public static RunCurve? Read(SqliteConnection connection, string id, int width)
    {
        using var moment = connection.BeginTransaction(deferred: true);
        if (NumberOf(connection, id) is not { } run)
        {
            return null;
        }

        var (chunks, events) = (Chunks(connection, run, id), Events(connection, run));
        if (chunks.Count == 0)
        {
            return new CurveStretches(0, 1, width).ToCurve(0, events);
        }

        var (from, to) = (chunks[0].From, chunks.Max(chunk => chunk.To));
        var seconds = (to - from) / width is var each && each >= ShortestStretchSeconds && double.IsFinite(each) ? each : 1;
        return Whole(id, chunks, from, seconds, width).ToCurve(chunks.Sum(chunk => (long)chunk.Rows), events);
    }

    private static CurveStretches Whole(string id, List<Stored> chunks, double from, double seconds, int width)
    {
        var parts = Math.Clamp(chunks.Count / LeastChunksACore, 1, Environment.ProcessorCount);
        var (stretches, faults) = (new CurveStretches[parts], new ArchiveCorruptException?[parts]);
        Parallel.For(0, parts, part =>
        {
            var (columns, mine) = (new CurveColumns(), stretches[part] = new CurveStretches(from, seconds, width));
            for (var i = chunks.Count * part / parts; i < chunks.Count * (part + 1) / parts && faults[part] is null; i++)
            {
                faults[part] = Add(id, i, chunks[i], columns, mine);
            }
        });
        if (faults.FirstOrDefault(fault => fault is not null) is { } damage)
        {
            throw damage;
        }

        foreach (var other in stretches.Skip(1))
        {
            stretches[0].Join(other);
        }

        return stretches[0];
    }

    private static ArchiveCorruptException? Add(string id, int number, Stored chunk, CurveColumns columns, CurveStretches stretches)
    {
        var fault = RowChunk.DecodeCurve(chunk.Body, columns) ?? (columns.Count == chunk.Rows ? null : "it holds another number of rows than is announced");
        if (fault is not null)
        {
            return new ArchiveCorruptException(id, string.Create(CultureInfo.InvariantCulture, $"chunk {number}"), fault);
        }

        stretches.Add(columns);
        return null;
    }

    private static long? NumberOf(SqliteConnection connection, string id)
    {
        using var command = connection.CreateCommand();
        command.CommandText = "SELECT number FROM runs WHERE id = $id";
        command.Parameters.AddWithValue("$id", id);
        return command.ExecuteScalar() as long?;
    }

    private static List<Stored> Chunks(SqliteConnection connection, long run, string id)
    {
        using var command = connection.CreateCommand();
        command.CommandText = "SELECT chunk, row_count, first_seconds, last_seconds, body FROM chunks WHERE run = $run ORDER BY chunk";
        command.Parameters.AddWithValue("$run", run);
        using var reader = command.ExecuteReader();
        var chunks = new List<Stored>();
        while (reader.Read())
        {
            if (reader.GetInt64(0) != chunks.Count)
            {
                throw new ArchiveCorruptException(id, string.Create(CultureInfo.InvariantCulture, $"chunk {chunks.Count}"), "it is missing");
            }

            chunks.Add(new(reader.GetInt32(1), reader.GetDouble(2), reader.GetDouble(3), reader.GetFieldValue<byte[]>(4)));
        }

        return chunks;
    }

    private static List<CurveMark> Events(SqliteConnection connection, long run)
    {
        using var command = connection.CreateCommand();
        command.CommandText = "SELECT sequence, at_seconds, kind FROM events WHERE run = $run ORDER BY sequence";
        command.Parameters.AddWithValue("$run", run);
        using var reader = command.ExecuteReader();
        var events = new List<CurveMark>();
        while (reader.Read())
        {
            events.Add(new(reader.GetInt64(0), reader.GetDouble(1), reader.GetString(2)));
        }

        return events;
    }

    private sealed record Stored(int Rows, double From, double To, byte[] Body);
}
