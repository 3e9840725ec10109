using Acquire.Service.Archive.Influx.Feeding;
using Acquire.Service.Archive.Influx.Keeping;
using Acquire.Service.Archive.Influx.Sending;
using Acquire.Service.Configuration;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Influx;

/// <summary>Hands the archive on to one endpoint: reads on from where the server has acknowledged, one request at a time, for ever. Nothing waits for it.</summary>
/// <remarks>Whatever ends it, and wherever, the next one goes on from the cursor and sends some points again: the same points.</remarks>
internal sealed partial class Outbox : IDisposable
{
    /// <summary>From one look for something new to the next.</summary>
    public static readonly TimeSpan Poll = TimeSpan.FromMilliseconds(500);

    private static readonly TimeSpan BetweenLags = TimeSpan.FromSeconds(5);
    private static readonly TimeSpan BetweenNotes = TimeSpan.FromMinutes(1);

    private readonly InfluxConfig _influx;
    private readonly OutboxOptions _options;
    private readonly TimeProvider _time;
    private readonly ILogger _logger;
    private readonly OutboxBoard _board;
    private readonly OutboxPace _pace;
    private readonly BatchSize _size;
    private readonly OutboxBatch _batch;
    private readonly ArchiveFeed _archive;
    private readonly OutboxFeed _feed;
    private readonly Dictionary<long, OutboxCursor> _moved = [];

    private OutboxStore? _store;
    private OutboxRuns? _runs;
    private InfluxEndpoint? _endpoint;
    private BatchDelivery? _delivery;
    private DateTimeOffset? _becomesCurrent;
    private DateTimeOffset _noted;
    private int _turn;

    public Outbox(InfluxConfig influx, OutboxOptions options, OutboxBoard board, TimeProvider time, ILogger logger)
    {
        (_influx, _options, _board, _time, _logger) = (influx, options, board, time, logger);
        (_pace, _size, _batch) = (new(options.Random), new(influx.BatchLines), new(time));
        _archive = new(options.ArchivePath);
        _feed = new(_archive);
    }

    /// <summary>Runs until cancelled. It does not throw.</summary>
    public async Task RunAsync(CancellationToken cancellationToken)
    {
        Log.Begun(_logger, _influx.ToString());
        while (!cancellationToken.IsCancellationRequested)
        {
            try
            {
                await WaitAsync(await TurnAsync(cancellationToken).ConfigureAwait(false), cancellationToken).ConfigureAwait(false);
            }
            catch (OperationCanceledException) when (cancellationToken.IsCancellationRequested)
            {
                return;
            }
        }
    }

    /// <summary>Does what can be done now.</summary>
    /// <returns>How long to wait before the next turn.</returns>
    public async Task<TimeSpan> TurnAsync(CancellationToken cancellationToken)
    {
        try
        {
            _store ??= OpenStore();
            _runs ??= new(_archive, _store, _time);
            if (_delivery is null && !Fill())
            {
                return Poll;
            }

            var isMore = _becomesCurrent is null;
            if (await DeliverAsync(_delivery!, cancellationToken).ConfigureAwait(false) is { } trouble)
            {
                return Pause(trouble);
            }

            Finish(_delivery!);
            return isMore ? TimeSpan.Zero : Poll;
        }
        catch (OperationCanceledException) when (cancellationToken.IsCancellationRequested)
        {
            throw;
        }
#pragma warning disable CA1031 // Disk, archive, a mistake in this program: whatever it is, the record is safe, and it is tried again.
        catch (Exception exception)
#pragma warning restore CA1031
        {
            Reopen();
            return Pause(new(WriteOutcome.Later, 0, Explained(exception)));
        }
    }

    public void Dispose()
    {
        _endpoint?.Dispose();
        _store?.Dispose();
    }

    private OutboxStore OpenStore()
    {
        var store = OutboxStore.Open(_options.StatePath, _influx, _time);
        if (store.PutAside is { } damaged)
        {
            Log.PutAside(_logger, _options.StatePath, damaged);
        }

        _board.Begin(store.CurrentAt, store.SetAsideCount);
        return store;
    }

    // False where there is nothing to send.
    private bool Fill()
    {
        var (look, at) = (_runs!.Look(), _time.GetUtcNow());
        _batch.Clear();
        _moved.Clear();
        var isAll = !look.IsCut;
        foreach (var (index, run) in Turned(look.Unsent).Index())
        {
            // Open runs share the room, so that none has to wait for the backlog of another; what is left is for the oldest.
            var left = _size.Lines - _batch.Count;
            var room = run.Ended ? left : Math.Max(1, left / Math.Max(1, look.Unsent.Count(other => !other.Ended) - index));
            if (left <= 0)
            {
                isAll = false;
                break;
            }

            var moved = _feed.Fill(run, _runs.Cursor(run), _batch, room);
            _moved[run.Number] = moved;
            isAll &= moved.Has(run);
        }

        _board.Lag(look.Runs, look.Rows, look.Unsent.Count == 0 ? null : look.Unsent.Min(run => run.StartedAt));
        if (_batch.IsEmpty && _moved.Count == 0)
        {
            if (isAll)
            {
                Current(at);
            }

            return false;
        }

        (_becomesCurrent, _delivery) = (isAll ? at : null, new(_batch, _time));
        return true;
    }

    // Which open run comes first changes from turn to turn.
    private IEnumerable<FeedRun> Turned(IReadOnlyList<FeedRun> runs)
    {
        var open = runs.TakeWhile(run => !run.Ended).ToArray();
        var first = open.Length == 0 ? 0 : _turn++ % open.Length;
        _turn %= 1_000_000;
        return [.. open[first..], .. open[..first], .. runs.Skip(open.Length)];
    }

    private async Task<WriteAnswer?> DeliverAsync(BatchDelivery delivery, CancellationToken cancellationToken)
    {
        while (!delivery.IsDone)
        {
            if (_endpoint is null && (_endpoint = InfluxEndpoint.Open(_influx, _time, _options.Around, out var mistake)) is null)
            {
                return new(WriteOutcome.Refused, 0, mistake!);
            }

            var (taken, requests) = (delivery.TakenLines, delivery.Requests);
            var trouble = await delivery.StepAsync(_endpoint, cancellationToken).ConfigureAwait(false);
            _board.Requested(delivery.Requests - requests, delivery.TakenLines - taken);
            if (trouble is not null)
            {
                return trouble;
            }
        }

        return null;
    }

    private void Finish(BatchDelivery delivery)
    {
        _store!.Advance(_moved.Values, delivery.Aside, delivery.Taken, _becomesCurrent);
        _runs!.Take(_moved.Values);
        _size.Learn(delivery.LargestLines);
        _pace.Reset();
        _delivery = null;
        if (delivery.Aside.Count > 0)
        {
            var newest = delivery.Aside[^1];
            Log.SetAside(_logger, delivery.Aside.Sum(stretch => stretch.Count), newest.RunId, newest.Words);
            _board.PutAside(_store.SetAsideCount, newest.Words);
        }
        else if (_board.SetAside > 0)
        {
            _board.PutAside(_store.SetAsideCount, null);
        }

        Well(_becomesCurrent);
    }

    private void Current(DateTimeOffset at)
    {
        if (_board.SetAside > 0)
        {
            _board.PutAside(_store!.SetAsideCount, null);
        }

        if (at - _noted >= BetweenNotes)
        {
            _noted = at;
            _store!.Put(at);
        }

        _pace.Reset();
        Well(at);
    }

    private void Well(DateTimeOffset? currentAt)
    {
        if (_board.Well(currentAt))
        {
            _store!.Put((string?)null);
            Log.Recovered(_logger, _influx.ToString());
        }
    }

    private TimeSpan Pause(WriteAnswer trouble)
    {
        var wait = _pace.After(trouble);
        if (_board.Trouble(trouble, wait))
        {
            Log.Trouble(_logger, trouble.Words);
            Note(trouble.Words);
        }

        if (trouble.Outcome == WriteOutcome.Refused)
        {
            // Opened anew: the token, the authorities and the name of the server may have been put right.
            _endpoint?.Dispose();
            _endpoint = null;
        }

        return wait;
    }

    private void Note(string words)
    {
        try
        {
            _store?.Put(words);
        }
        catch (SqliteException)
        {
            // It is on the page and in the log; the file has troubles of its own, which are told when it is needed.
        }
    }

    // While it waits, what comes in goes on, and the lag is to be seen.
    private async Task WaitAsync(TimeSpan wait, CancellationToken cancellationToken)
    {
        var begun = _time.GetTimestamp();
        while (wait - _time.GetElapsedTime(begun) is var left && left > TimeSpan.Zero)
        {
            await Task.Delay(left < BetweenLags ? left : BetweenLags, _time, cancellationToken).ConfigureAwait(false);
            if (wait > BetweenLags && _runs is not null)
            {
                LookAgain();
            }
        }
    }

    private void LookAgain()
    {
        try
        {
            var look = _runs!.Look();
            _board.Lag(look.Runs, look.Rows, look.Unsent.Count == 0 ? null : look.Unsent.Min(run => run.StartedAt));
        }
#pragma warning disable CA1031 // as in a turn
        catch (Exception)
#pragma warning restore CA1031
        {
            // Told by the next turn.
        }
    }

    private void Reopen()
    {
        _store?.Dispose();
        (_store, _runs) = (null, null);
    }

    private string Explained(Exception exception) => exception switch
    {
        SqliteException => $"{_options.StatePath} or the archive cannot be used: {exception.Message}. Free space on the disk; nothing is lost",
        ArchiveRefusedException => exception.Message,
        _ => $"handing on to InfluxDB failed because of a mistake in this program, or of the disk: {exception.GetType().Name}: {exception.Message}",
    };

    private static partial class Log
    {
        [LoggerMessage(3100, LogLevel.Information, "The archive is handed on to {Target}")]
        public static partial void Begun(ILogger logger, string target);

        [LoggerMessage(3101, LogLevel.Warning, "Handing on to InfluxDB waits: {Words}")]
        public static partial void Trouble(ILogger logger, string words);

        [LoggerMessage(3102, LogLevel.Information, "Handing on to {Target} goes on")]
        public static partial void Recovered(ILogger logger, string target);

        [LoggerMessage(3103, LogLevel.Warning, "{Records} records of run {RunId} and perhaps others were not taken by InfluxDB and are set aside: {Words}")]
        public static partial void SetAside(ILogger logger, long records, string runId, string words);

        [LoggerMessage(3104, LogLevel.Warning, "{Path} was damaged and begun anew; everything is sent again, which changes no point. What it was is in {Damaged}")]
        public static partial void PutAside(ILogger logger, string path, string damaged);
    }
}
