using Acquire.Service.Archive.Influx.Lines;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Influx.Keeping;

/// <summary>The table of what was set aside: each record once, neighbours with the same words as one stretch.</summary>
internal sealed class SetAsideRows(SqliteConnection connection, long target)
{
    private const string Columns = "run, run_id, kind, first, count, status, words, at_utc";

    /// <summary>Takes out what was taken and puts in what was set aside.</summary>
    public void Change(IEnumerable<SetAside> aside, IEnumerable<SetAside> taken)
    {
        var isEmpty = Select("LIMIT 1").Count == 0;
        foreach (var stretch in isEmpty ? [] : taken)
        {
            CutOut(stretch);
        }

        foreach (var stretch in aside)
        {
            CutOut(stretch);
            Insert(Joined(stretch));
        }
    }

    /// <summary>Stretches in order, behind one of them.</summary>
    public List<SetAside> List(int most, SetAside? after) => after is null
        ? Select("ORDER BY run_id, kind, first LIMIT $most", ("$most", most))
        : Select("AND (run_id, kind, first) > ($id, $kind, $first) ORDER BY run_id, kind, first LIMIT $most", ("$most", most), ("$id", after.RunId), ("$kind", (long)after.Kind), ("$first", after.First));

    // What stood there before is no longer so: its ends beyond the stretch stay.
    private void CutOut(SetAside stretch)
    {
        foreach (var old in Of(stretch, stretch.First, stretch.End))
        {
            Delete(old);
            if (old.First < stretch.First)
            {
                Insert(old with { Count = stretch.First - old.First });
            }

            if (old.End > stretch.End)
            {
                Insert(old with { First = stretch.End, Count = old.End - stretch.End });
            }
        }
    }

    private SetAside Joined(SetAside stretch)
    {
        foreach (var old in Of(stretch, stretch.First - 1, stretch.End + 1).Where(old => old.Status == stretch.Status && old.Words == stretch.Words))
        {
            Delete(old);
            var first = Math.Min(old.First, stretch.First);
            stretch = stretch with { First = first, Count = Math.Max(old.End, stretch.End) - first };
        }

        return stretch;
    }

    // Stretches do not overlap: the last one that begins before a place is the only one before it that can reach it.
    private List<SetAside> Of(SetAside like, long from, long to) => Select(
        """
        AND run_id = $id AND kind = $kind AND first < $to AND first + count > $from
            AND first >= coalesce((SELECT max(b.first) FROM set_aside b WHERE b.target = $target AND b.run_id = $id AND b.kind = $kind AND b.first <= $from), $from)
        ORDER BY first
        """,
        ("$id", like.RunId), ("$kind", (long)like.Kind), ("$from", from), ("$to", to));

    private void Insert(SetAside one)
    {
        using var command = Command(
            $"INSERT INTO set_aside (target, {Columns}) VALUES ($target, $run, $id, $kind, $first, $count, $status, $words, $at)",
            ("$run", one.Run), ("$id", one.RunId), ("$kind", (long)one.Kind), ("$first", one.First), ("$count", one.Count), ("$status", one.Status), ("$words", one.Words), ("$at", OutboxStore.Text(one.At)));
        command.ExecuteNonQuery();
    }

    private void Delete(SetAside one)
    {
        using var command = Command("DELETE FROM set_aside WHERE target = $target AND run_id = $id AND kind = $kind AND first = $first", ("$id", one.RunId), ("$kind", (long)one.Kind), ("$first", one.First));
        command.ExecuteNonQuery();
    }

    private List<SetAside> Select(string rest, params ReadOnlySpan<(string Name, object Value)> values)
    {
        using var command = Command($"SELECT {Columns} FROM set_aside WHERE target = $target {rest}", values);
        using var reader = command.ExecuteReader();
        var found = new List<SetAside>();
        while (reader.Read())
        {
            found.Add(new(reader.GetInt64(0), reader.GetString(1), (LineKind)reader.GetInt64(2), reader.GetInt64(3), reader.GetInt64(4), reader.GetInt32(5), reader.GetString(6), OutboxStore.At(reader.GetString(7))));
        }

        return found;
    }

    private SqliteCommand Command(string sql, params ReadOnlySpan<(string Name, object Value)> values)
    {
        var command = connection.CreateCommand(); // takes the connection's open transaction with it
        command.CommandText = sql;
        command.Parameters.AddWithValue("$target", target);
        foreach (var (name, value) in values)
        {
            command.Parameters.AddWithValue(name, value);
        }

        return command;
    }
}
