using Acquire.Core.Methods;
using Acquire.Core.Runs;
using Acquire.Service.Archive;

namespace Acquire.Service.Lanes.Resuming;

/// <summary>Before the lanes begin: hands each run that was open when the service ended to its lane, or marks it as interrupted and says why.</summary>
public sealed partial class RunResumption(RunArchive archive, LaneSet lanes, ResumeRules rules, MethodSet methods, TimeProvider time, string softwareVersion, ILogger<RunResumption> logger) : IHostedService
{
    private const string Sentence = "The service had stopped in mid-run, and the run could not go on";

    /// <inheritdoc/>
    public async Task StartAsync(CancellationToken cancellationToken)
    {
        var testers = new HashSet<string>(StringComparer.Ordinal);

        // The newest of a tester first: an older one was given up when that began.
        foreach (var id in archive.OpenRuns().Reverse())
        {
            if (Take(id, testers, out var atSeconds) is { } why)
            {
                await InterruptAsync(id, atSeconds, why, cancellationToken).ConfigureAwait(false);
            }
        }
    }

    /// <inheritdoc/>
    public Task StopAsync(CancellationToken cancellationToken) => Task.CompletedTask;

    /// <summary>Why a run ended without a result, as a sentence for its record.</summary>
    internal static string Words(string why) => $"{Sentence}: {why}. What was recorded is kept. Begin again with a fresh test portion.";

    private string? Take(string id, HashSet<string> testers, out double atSeconds)
    {
        atSeconds = 0;
        try
        {
            var header = archive.ReadHeader(id);
            var facts = archive.ReadEvents(id, 0);
            atSeconds = facts.Count == 0 ? 0 : facts[^1].AtSeconds;
            return !testers.Add(header.TesterId) || archive.NewestRunOf(header.TesterId) != id ? "another run of its tester was begun after it"
                : lanes.Find(header.TesterId) is not { } lane ? $"there is no tester '{header.TesterId}' in the configuration any more"
                : ResumeChecks.Changed(header, lane.Config, methods) ?? Take(header, facts, lane);
        }
        catch (ArchiveCorruptException exception)
        {
            return $"its record is damaged ({exception.Message.TrimEnd('.')})";
        }
    }

    private string? Take(RunHeader header, IReadOnlyList<RunOutput> facts, Lane lane)
    {
        var now = time.GetUtcNow();
        var rows = archive.ReadRows(header.Id).ToArray();
        var axis = facts.OfType<AxisBegun>().FirstOrDefault();
        var newest = rows.Length == 0 ? 0 : rows.Max(row => row.AtSeconds);
        if (ResumeChecks.Away(header, facts, newest, rows.Length > 0, archive.LastSign, now, rules.Within, out var away, out var uncertain) is { } why)
        {
            return why;
        }

        // The axis is in the record before its first row: that row may be lost, and the axis stays.
        var awaited = axis is null ? null : new AwaitedRow(axis, newest, rules.Within);
        if (OpenRun.TakeUp(header, rows, facts, awaited, out var cannot) is not { } run)
        {
            return cannot;
        }

        archive.TakeUp(header.Id);
        var before = facts.OfType<RunResumed>().LastOrDefault()?.SoftwareAfter ?? header.SoftwareVersion;
        lane.TakeUp(new(run, new(0, null, now, away, uncertain, before, softwareVersion), facts, rows, rules.Within - TimeSpan.FromSeconds(away ?? 0)));
        return null;
    }

    private async Task InterruptAsync(string id, double atSeconds, string why, CancellationToken cancellationToken)
    {
        Log.Interrupted(logger, id, why);
        try
        {
            await archive.InterruptAsync(id, time.GetUtcNow(), new(atSeconds, Words(why)), cancellationToken).ConfigureAwait(false);
        }
        catch (ArchiveUnavailableException exception)
        {
            // It stays open in the archive; the next start says it.
            Log.NotMarked(logger, exception, id);
        }
    }

    private static partial class Log
    {
        [LoggerMessage(1050, LogLevel.Warning, "Run {RunId} was open when the service ended and is marked as interrupted: {Why}")]
        public static partial void Interrupted(ILogger logger, string runId, string why);

        [LoggerMessage(1051, LogLevel.Error, "Run {RunId} cannot be marked as interrupted now")]
        public static partial void NotMarked(ILogger logger, Exception exception, string runId);
    }
}
