using Acquire.Service.Archive.Database;
using Acquire.Service.Archive.Influx.Keeping;
using Acquire.Service.Archive.Influx.Lines;
using Acquire.Service.Archive.Influx.Sending;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Influx.Feeding;

/// <summary>Fills batches from the archive: from where the cursors stand, as far as there is room.</summary>
internal sealed class OutboxFeed(ArchiveFeed archive)
{
    /// <summary>Adds what is to be sent of a run.</summary>
    /// <param name="run">The run as of the last look.</param>
    /// <param name="cursor">Where it stands.</param>
    /// <param name="batch">Where to add.</param>
    /// <param name="room">Lines to add at most.</param>
    /// <returns>Where it will stand once all that was added is acknowledged.</returns>
    public OutboxCursor Fill(FeedRun run, OutboxCursor cursor, OutboxBatch batch, int room)
    {
        var end = batch.Count + room;
        cursor = Guarded(run, cursor, batch, LineKind.Reading, () => FillRows(run, cursor, batch, end));
        cursor = Guarded(run, cursor, batch, LineKind.Event, () => FillEvents(run, cursor, batch, end));
        return Guarded(run, cursor, batch, LineKind.Result, () => FillResults(run, cursor, batch, end));
    }

    // Damage in the file under one run must not hold up the others. What was added of it before the damage is sent.
    private static OutboxCursor Guarded(FeedRun run, OutboxCursor cursor, OutboxBatch batch, LineKind kind, Func<OutboxCursor> fill)
    {
        try
        {
            return fill();
        }
        catch (Exception damage) when (damage is ArchiveCorruptException || (damage is SqliteException sqlite && SqliteFault.IsDamage(sqlite)))
        {
            var from = batch.Count > 0 && batch[batch.Count - 1] is var last && last.RunId == run.Id && last.Kind == kind ? last.Index + 1 : cursor.Acknowledged(kind);
            batch.Refuse(run, kind, from, run.Archived(kind) - from, $"not sent: it cannot be read from the archive: {damage.Message}");
            return kind switch
            {
                LineKind.Reading => cursor with { Rows = cursor.Rows with { Row = run.Rows } },
                LineKind.Event => cursor with { Events = run.Events },
                _ => cursor with { Results = run.Results },
            };
        }
    }

    private OutboxCursor FillRows(FeedRun run, OutboxCursor cursor, OutboxBatch batch, int end)
    {
        var place = cursor.Rows;
        while (place.Row < run.Rows && batch.Count < end)
        {
            if (archive.Rows(run.Number, place) is not { } read)
            {
                batch.Refuse(run, LineKind.Reading, place.Row, run.Rows - place.Row, "not sent: the archive has no such rows");
                place = place with { Row = run.Rows };
                break;
            }

            if (read.Missing > 0)
            {
                batch.Refuse(run, LineKind.Reading, read.First - read.Missing, read.Missing, read.Fault!);
            }

            var taken = (int)Math.Clamp(run.Rows - read.First, 0, Math.Min(read.Rows.Length, end - batch.Count));
            for (var i = 0; i < taken; i++)
            {
                batch.Add(run, read.First + i, read.Rows.Span[i]);
            }

            place = new(read.Next.Chunk, Math.Max(read.First + taken, place.Row));
        }

        return cursor with { Rows = place };
    }

    private OutboxCursor FillEvents(FeedRun run, OutboxCursor cursor, OutboxBatch batch, int end)
    {
        if (cursor.Events >= run.Events || batch.Count >= end)
        {
            return cursor;
        }

        var next = cursor.Events;
        foreach (var (sequence, fact, fault) in archive.Events(run, next, end - batch.Count).TakeWhile(read => read.Sequence < run.Events))
        {
            if (fact is null)
            {
                batch.Refuse(run, LineKind.Event, sequence, 1, fault!);
            }
            else
            {
                batch.Add(run, sequence, fact);
            }

            next = sequence + 1;
        }

        return cursor with { Events = next };
    }

    private OutboxCursor FillResults(FeedRun run, OutboxCursor cursor, OutboxBatch batch, int end)
    {
        if (cursor.Results >= run.Results || batch.Count >= end)
        {
            return cursor;
        }

        var results = archive.Results(run, cursor.Results);
        var taken = (int)Math.Min(Math.Min(results.Count, end - batch.Count), run.Results - cursor.Results);
        foreach (var result in results.Take(taken))
        {
            batch.Add(run, result);
        }

        return cursor with { Results = cursor.Results + taken };
    }
}
