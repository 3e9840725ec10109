using System.CommandLine;
using System.Globalization;
using Acquire.Core;
using Acquire.Service.Archive.Influx.Feeding;
using Acquire.Service.Archive.Influx.Keeping;
using Acquire.Service.Archive.Influx.Sending;

namespace Acquire.Service.CommandLine.Influxing;

/// <summary>`acquire influx backfill`: sends runs that have ended once more, as a whole.</summary>
internal static class BackfillCommand
{
    public static Command Build()
    {
        var (config, data, choice) = (InfluxSession.Config(), InfluxSession.Data(), RunChoice.Options());
        var command = new Command("backfill", "Send runs that have ended as a whole, whether they were sent before or not. A point that is there stays the same point. The service may run meanwhile. Exit code 0: all taken, 1: not all.")
        {
            config, data, choice.Run, choice.From, choice.To,
        };
        command.SetAction((parsed, cancellationToken) => InfluxSession.TryBegin(parsed.GetValue(config)!, parsed.GetValue(data), parsed.InvocationConfiguration.Output, parsed.InvocationConfiguration.Error, out var session)
            ? session.RunAsync(() => RunAsync(session, RunChoice.Of(parsed, choice), cancellationToken))
            : Task.FromResult(ExitCode.BadInput));
        return command;
    }

    internal static async Task<int> RunAsync(InfluxSession session, RunChoice choice, CancellationToken cancellationToken)
    {
        var archive = new ArchiveFeed(session.Options.ArchivePath);
        using var store = session.OpenStore();
        using var endpoint = PatientDelivery.Open(session);
        if (endpoint is null)
        {
            return ExitCode.Failed;
        }

        var (delivery, feed, batch) = (new PatientDelivery(session, endpoint, store), new OutboxFeed(archive), new OutboxBatch(session.Time));
        var (runs, open) = (0, 0);
        foreach (var run in choice.In(archive))
        {
            if (!run.Ended)
            {
                open++;
                continue;
            }

            for (var cursor = OutboxCursor.Begin(run); !cursor.Has(run);)
            {
                batch.Clear();
                cursor = feed.Fill(run, cursor, batch, session.Influx.BatchLines);
                if (!await delivery.SendAsync(batch, cancellationToken).ConfigureAwait(false))
                {
                    return ExitCode.Failed;
                }
            }

            runs++;
            session.Output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"run {run.Id}: {run.Rows} readings, {run.Events} events, {run.Results} results"));
        }

        return Tell(session, choice, delivery, runs, open);
    }

    private static int Tell(InfluxSession session, RunChoice choice, PatientDelivery delivery, int runs, int open)
    {
        if (runs == 0 && open == 0 && choice.Run is { } id)
        {
            session.Error.WriteLine(new InputError("--run", $"there is no run '{id}' of those days in {session.Options.ArchivePath}"));
            return ExitCode.BadInput;
        }

        session.Output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{runs} runs sent to {session.Influx}: {delivery.Taken} lines taken, {delivery.Aside} records set aside{(delivery.Aside > 0 ? " (acquire influx rejected)" : "")}."));
        if (open > 0)
        {
            session.Output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{open} runs are open and were left to the service."));
        }

        return delivery.Aside == 0 ? ExitCode.Done : ExitCode.Failed;
    }
}
