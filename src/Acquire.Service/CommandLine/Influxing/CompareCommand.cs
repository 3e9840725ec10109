using System.CommandLine;
using System.Globalization;
using Acquire.Core;
using Acquire.Service.Archive.Influx.Comparing;
using Acquire.Service.Archive.Influx.Feeding;
using Acquire.Service.Archive.Influx.Keeping;
using Acquire.Service.Archive.Influx.Lines;

namespace Acquire.Service.CommandLine.Influxing;

/// <summary>`acquire influx compare`: counts both sides, run by run.</summary>
internal static class CompareCommand
{
    private static readonly (LineKind Kind, string Words)[] Kinds = [(LineKind.Reading, "readings"), (LineKind.Event, "events"), (LineKind.Result, "results")];

    public static Command Build()
    {
        var (config, data, choice) = (InfluxSession.Config(), InfluxSession.Data(), RunChoice.Options());
        var command = new Command("compare", "Count the readings, events and results of each run that has ended, in the archive and at InfluxDB. Changes nothing; the service may run meanwhile. Exit code 0: equal, 1: different, 2: cannot be compared.")
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
        using var endpoint = PatientDelivery.Open(session);
        if (endpoint is null)
        {
            return ExitCode.BadInput;
        }

        var (counts, trouble) = await PointCounter.CountAsync(endpoint, session.Influx, choice.Run, cancellationToken).ConfigureAwait(false);
        if (counts is null)
        {
            session.Error.WriteLine(new InputError("influx", $"cannot be compared: {trouble}"));
            return ExitCode.BadInput;
        }

        using var store = session.OpenStore();
        return Tell(session, choice, counts, store);
    }

    private static int Tell(InfluxSession session, RunChoice choice, PointCounts counts, OutboxStore store)
    {
        var archive = new ArchiveFeed(session.Options.ArchivePath);
        var (runs, different, open, aside, known) = (0, 0, 0, 0L, new HashSet<string>(StringComparer.Ordinal));
        foreach (var run in choice.In(archive))
        {
            known.Add(run.Id);
            if (!run.Ended)
            {
                open++;
                continue;
            }

            var differences = Kinds.Select(kind => Difference(run, kind, counts, store)).Where(words => words is not null).ToArray();
            (runs, different, aside) = (runs + 1, different + (differences.Length > 0 ? 1 : 0), aside + Kinds.Sum(kind => store.SetAsideOf(run.Id, kind.Kind)));
            if (differences.Length > 0)
            {
                session.Output.WriteLine($"run {run.Id}: {string.Join("; ", differences)}");
            }
        }

        if (choice.Run is { } id && known.Count == 0)
        {
            session.Error.WriteLine(new InputError("--run", $"there is no run '{id}' of those days in {session.Options.ArchivePath}"));
            return ExitCode.BadInput;
        }

        session.Output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{runs} runs compared with {session.Influx}: {(different == 0 ? "equal" : $"{different} DIFFERENT. Send them again: acquire influx backfill --run ID")}."));
        Remark(session, open, "runs are open and were not compared.");
        Remark(session, aside, "records are set aside and were not expected there (acquire influx rejected).");
        Others(session, archive, choice is { Run: null, From: null, To: null } ? [.. counts.Runs.Where(run => !known.Contains(run)).Order(StringComparer.Ordinal)] : []);
        return different == 0 ? ExitCode.Done : ExitCode.Failed;
    }

    // Of another archive, of this one as it was before it was put back, or pruned since.
    private static void Others(InfluxSession session, ArchiveFeed archive, List<string> others)
    {
        if (others.Count > 0)
        {
            var pruned = archive.Pruned().ToHashSet(StringComparer.Ordinal);
            others.ForEach(id => session.Output.WriteLine($"run {id}: only at InfluxDB{(pruned.Contains(id) ? ", it was pruned here" : "")}"));
            Remark(session, others.Count, "runs there are not in this archive.");
        }
    }

    private static void Remark(InfluxSession session, long count, string words)
    {
        if (count > 0)
        {
            session.Output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{count} {words}"));
        }
    }

    private static string? Difference(FeedRun run, (LineKind Kind, string Words) kind, PointCounts counts, OutboxStore store)
    {
        var (expected, found) = (run.Archived(kind.Kind) - store.SetAsideOf(run.Id, kind.Kind), counts.Of(run.Id, kind.Kind));
        return expected == found ? null : string.Create(CultureInfo.InvariantCulture, $"{expected} {kind.Words} in the archive, {found} at InfluxDB");
    }
}
