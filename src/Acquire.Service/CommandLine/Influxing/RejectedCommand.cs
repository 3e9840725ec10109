using System.CommandLine;
using System.Globalization;
using Acquire.Service.Archive.Influx.Feeding;
using Acquire.Service.Archive.Influx.Keeping;
using Acquire.Service.Archive.Influx.Lines;
using Acquire.Service.Archive.Influx.Sending;

namespace Acquire.Service.CommandLine.Influxing;

/// <summary>`acquire influx rejected`: what was not taken, and why; with `--retry`, once more.</summary>
internal static class RejectedCommand
{
    private const int PerRead = 500;

    public static Command Build()
    {
        var (config, data) = (InfluxSession.Config(), InfluxSession.Data());
        var retry = new Option<bool>("--retry") { Description = "Send them again; what is taken now is no longer listed." };
        var command = new Command("rejected", "List records that InfluxDB did not take and that are set aside, with its words. They are in the archive. Exit code 0: none is set aside, 1: some are.") { config, data, retry };
        command.SetAction((parsed, cancellationToken) => InfluxSession.TryBegin(parsed.GetValue(config)!, parsed.GetValue(data), parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error, out var session)
            ? session.RunAsync(() => RunAsync(session, parsed.GetValue(retry), cancellationToken))
            : Task.FromResult(ExitCode.BadInput));
        return command;
    }

    internal static async Task<int> RunAsync(InfluxSession session, bool retry, CancellationToken cancellationToken)
    {
        using var store = session.OpenStore();
        if (retry && !await RetryAsync(session, store, cancellationToken).ConfigureAwait(false))
        {
            return ExitCode.Failed;
        }

        foreach (var stretch in All(store))
        {
            session.Output.WriteLine(string.Create(CultureInfo.InvariantCulture,
                $"run {stretch.RunId}, {Word(stretch.Kind)} {stretch.First}{(stretch.Count > 1 ? $" to {stretch.End - 1}" : "")}: {(stretch.Status > 0 ? $"status {stretch.Status}, " : "")}{stretch.Words} ({stretch.At:yyyy-MM-dd HH:mm:ss} UTC)"));
        }

        var left = store.SetAsideCount;
        session.Output.WriteLine(left == 0 ? "Nothing is set aside." : string.Create(CultureInfo.InvariantCulture, $"{left} records are set aside. Put right what the words say, then: acquire influx rejected --retry"));
        return left == 0 ? ExitCode.Done : ExitCode.Failed;
    }

    private static async Task<bool> RetryAsync(InfluxSession session, OutboxStore store, CancellationToken cancellationToken)
    {
        using var endpoint = PatientDelivery.Open(session);
        if (endpoint is null)
        {
            return false;
        }

        var archive = new ArchiveFeed(session.Options.ArchivePath);
        var (delivery, feed, batch) = (new PatientDelivery(session, endpoint, store), new OutboxFeed(archive), new OutboxBatch(session.Time));
        foreach (var stretch in All(store))
        {
            // A run that is no longer in the archive stays listed: nothing can be sent of it.
            var run = archive.Find(stretch.RunId) is { } found ? Only(found, stretch) : null;
            for (var cursor = run is null ? null : At(archive, run, stretch); cursor is not null && !cursor.Has(run!);)
            {
                batch.Clear();
                cursor = feed.Fill(run!, cursor, batch, session.Influx.BatchLines);
                if (!await delivery.SendAsync(batch, cancellationToken).ConfigureAwait(false))
                {
                    return false;
                }
            }
        }

        session.Output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{delivery.Taken} records were taken now."));
        return true;
    }

    // The run as if it ended with the stretch, and had nothing else.
    private static FeedRun Only(FeedRun run, SetAside stretch) => stretch.Kind switch
    {
        LineKind.Reading => run with { Rows = Math.Min(run.Rows, stretch.End), Events = 0, Closed = false },
        LineKind.Event => run with { Rows = 0, Events = Math.Min(run.Events, stretch.End), Closed = false },
        _ => run with { Rows = 0, Events = 0, Corrections = Math.Min(run.Corrections, stretch.End - 1) },
    };

    private static OutboxCursor At(ArchiveFeed archive, FeedRun run, SetAside stretch) => stretch.Kind switch
    {
        LineKind.Reading => OutboxCursor.Begin(run) with { Rows = archive.PlaceOf(run.Number, stretch.First) },
        LineKind.Event => OutboxCursor.Begin(run) with { Events = stretch.First },
        _ => OutboxCursor.Begin(run) with { Results = stretch.First },
    };

    private static IEnumerable<SetAside> All(OutboxStore store)
    {
        for (var page = store.SetAsides(PerRead); page.Count > 0; page = store.SetAsides(PerRead, page[^1]))
        {
            foreach (var stretch in page)
            {
                yield return stretch;
            }
        }
    }

    private static string Word(LineKind kind) => kind switch { LineKind.Reading => "reading", LineKind.Event => "event", _ => "result" };
}
