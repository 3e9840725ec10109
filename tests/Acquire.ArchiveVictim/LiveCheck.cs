using System.Globalization;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Chain;
using Acquire.Service.Live;
using Microsoft.Extensions.Logging.Abstractions;

namespace Acquire.ArchiveVictim;

/// <summary>Holds an archive against what was acknowledged and against what the testers said.</summary>
public static class LiveCheck
{
    /// <summary>Opens the archive as the service does, and verifies it.</summary>
    /// <param name="path">The database file.</param>
    /// <param name="acknowledged">What must be there.</param>
    public static async Task<Look> LookAsync(string path, Acknowledged acknowledged)
    {
        ArgumentNullException.ThrowIfNull(acknowledged);
        var wrong = new List<string>();
        var (rows, facts, takenUp, interrupted) = (0L, 0L, 0, new List<string>());
        var archive = RunArchive.Open(path, TimeProvider.System, NullLogger<RunArchive>.Instance, new ArchiveOptions { KeepsOpenRuns = true });
        await using (archive.ConfigureAwait(false))
        {
            foreach (var (id, run) in acknowledged.Runs)
            {
                if (archive.FindRun(id) is not { } detail)
                {
                    wrong.Add($"run {id} was acknowledged and is not there");
                    continue;
                }

                wrong.AddRange(Missing(detail, run));
                wrong.AddRange(Rows(detail, [.. archive.ReadRows(id)]));
                (rows, facts) = (rows + detail.Summary.ArchivedRows, facts + detail.Events.Count);
                takenUp += detail.Summary.Resumed;
                interrupted.AddRange(detail.Events.OfType<RunInterrupted>().Select(fact => $"run {id}: {fact.Text}"));
            }

            var verified = ArchiveVerifier.Verify(path, acknowledged.Head);
            wrong.AddRange(verified.Faults.Select(fault => $"verify: {fault}"));
        }

        return new(wrong, rows, facts, takenUp, interrupted);
    }

    /// <summary>What was found.</summary>
    /// <param name="Wrong">Everything that is wrong, a sentence each; empty where nothing is.</param>
    /// <param name="Rows">Rows of the runs that were acknowledged.</param>
    /// <param name="Facts">Their facts.</param>
    /// <param name="TakenUp">How many times a run was taken up again.</param>
    /// <param name="Interrupted">Runs that could not go on, with the reason.</param>
    public sealed record Look(IReadOnlyList<string> Wrong, long Rows, long Facts, int TakenUp, IReadOnlyList<string> Interrupted);

    private static IEnumerable<string> Missing(RunDetail detail, Acknowledged.Run run)
    {
        var id = detail.Summary.Id;
        if (detail.Summary.ArchivedRows < run.Rows)
        {
            yield return string.Create(CultureInfo.InvariantCulture, $"run {id}: {run.Rows} rows were acknowledged, {detail.Summary.ArchivedRows} are there");
        }

        if (detail.Events.Count < run.Facts)
        {
            yield return string.Create(CultureInfo.InvariantCulture, $"run {id}: {run.Facts} facts were announced, {detail.Events.Count} are there");
        }

        if (detail.Events.Count(fact => fact is ObservationMade) is var seen && seen < run.Seen)
        {
            yield return string.Create(CultureInfo.InvariantCulture, $"run {id}: {run.Seen} observations were answered, {seen} are there");
        }

        if (run.Closed && detail.Summary.Result is null)
        {
            yield return $"run {id}: its end was answered and is not there ({detail.Events.OfType<RunInterrupted>().LastOrDefault()?.Text ?? "nothing says why"})";
        }
    }

    // Each row is the one of its tick, to the last bit, and none is missing but while the service was away.
    private static IEnumerable<string> Rows(RunDetail detail, ReadingRow[] rows)
    {
        if (rows.Length == 0)
        {
            yield break;
        }

        var start = detail.Events.OfType<AxisBegun>().Single().StartSeconds;
        var breaks = detail.Events.OfType<RunResumed>().Select(resumed => LiveRows.Tick((resumed.ReadingSeconds ?? 0) + start)).ToHashSet();
        var tester = int.Parse(detail.Summary.TesterId.AsSpan("bench-".Length), CultureInfo.InvariantCulture);
        for (var i = 0; i < rows.Length; i++)
        {
            var tick = LiveRows.Tick(rows[i].AtSeconds + start);
            var said = LiveRows.At(tester, tick);
            if (BitConverter.DoubleToInt64Bits(said.Detector) != BitConverter.DoubleToInt64Bits(rows[i].Detector) || said.TemperatureCelsius != rows[i].TemperatureCelsius)
            {
                yield return string.Create(CultureInfo.InvariantCulture, $"run {detail.Summary.Id}: row {i} is not what the tester said");
            }

            if (i > 0 && LiveRows.Tick(rows[i - 1].AtSeconds + start) is var before && tick != before + 1 && !(tick > before && breaks.Contains(before)))
            {
                yield return string.Create(CultureInfo.InvariantCulture, $"run {detail.Summary.Id}: row {i} does not follow row {i - 1}");
            }
        }
    }
}
