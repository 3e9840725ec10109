using Acquire.Core.Results;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Corrections;
using Acquire.Service.Live;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Archive;

/// <summary>Lists by filter against the same filter written a second time, over plain objects.</summary>
public sealed class RunFilterTests : IDisposable
{
    private static readonly string[] Specimens = ["Turbine oil, lot 4", "TURBINE OIL, lot 5", "Öl für Kompressoren", "100 % _base_ oil", "x' OR 1=1 --"];
    private static readonly string?[] Parts = [null, null, null, null, null, "turbine", "öl", "%", "_base_", "' OR 1", "lot"];

    private readonly ArchiveBench _bench = new();

    public void Dispose() => _bench.Dispose();

    [Fact(Timeout = 120000)]
    public async Task Any_filter_gives_exactly_the_runs_of_which_all_is_true_newest_first()
    {
        await using var archive = _bench.Open();
        await FillAsync(archive, 60, TestContext.Current.CancellationToken);
        var all = archive.ListRuns(null, RunFilter.MostRuns);
        Assert.Equal(60, all.Count);
        var hits = 0;

        Filters(all).Sample(
            filter =>
            {
                var expected = all.Where(run => Matches(filter, run)).OrderByDescending(run => run.StartedAt).ThenByDescending(Number).ToList();
                if (filter.After is { } after)
                {
                    var at = all.Single(run => run.Id == after);
                    expected = [.. expected.Where(run => (run.StartedAt, Number(run)).CompareTo((at.StartedAt, Number(at))) < 0)];
                }

                hits += expected.Count;
                Assert.Equal(expected.Take(filter.Limit).Select(run => run.Id), archive.ListRuns(filter).Select(run => run.Id));
            },
            iter: 400,
            threads: 1);
        Assert.True(hits > 800, $"the filters found only {hits} runs in all");
    }

    [Fact(Timeout = 60000)]
    public async Task Pages_join_to_the_whole_list_without_hole_or_double()
    {
        await using var archive = _bench.Open();
        await FillAsync(archive, 23, TestContext.Current.CancellationToken);
        var (ids, after) = (new List<string>(), (string?)null);
        while (archive.ListRuns(new RunFilter { After = after, Limit = 5 }) is { Count: > 0 } page)
        {
            ids.AddRange(page.Select(run => run.Id));
            after = page[^1].Id;
        }

        Assert.Equal(archive.ListRuns(null, 100).Select(run => run.Id), ids);
        Assert.Equal(23, ids.Distinct().Count());
    }

    [Fact(Timeout = 60000)]
    public async Task A_run_whose_newest_result_reports_nothing_is_not_found_by_what_it_reported_before()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var archive = _bench.Open();
        await archive.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);
        await archive.CloseRunAsync("r-1", ArchiveBench.Start, ArchiveBench.Result with { Fire = new(245, 246, 246, 900) }, cancel);
        var reported = (Flash: new RunFilter { FlashFromCelsius = 200 }, Fire: new RunFilter { FireToCelsius = 300 });
        Assert.Equal((1, 1), (archive.ListRuns(reported.Flash).Count, archive.ListRuns(reported.Fire).Count));

        var nothing = new LaterResult(1, 1, ArchiveBench.Start, "0.1.0", true, ArchiveBench.Result with { Verdict = Verdict.Invalid, Flash = null, Fire = null });
        await archive.CorrectAsync("r-1", new(1, ArchiveBench.Start, "Ada", CorrectedField.ExpectedFlash, "220", "300", "booked in wrongly"), nothing, cancel);

        Assert.Null(Assert.Single(archive.ListRuns(new RunFilter())).Result!.Flash);
        Assert.Equal((0, 0), (archive.ListRuns(reported.Flash).Count, archive.ListRuns(reported.Fire).Count));
    }

    private static int Number(RunSummary run) => int.Parse(run.Id.AsSpan(2), System.Globalization.CultureInfo.InvariantCulture);

    private static bool Matches(RunFilter filter, RunSummary run) =>
        (filter.TesterId is null || run.TesterId == filter.TesterId)
        && (filter.Specimen is null || run.Specimen.Contains(filter.Specimen, StringComparison.OrdinalIgnoreCase))
        && (filter.MethodId is null || run.MethodId == filter.MethodId)
        && (filter.Verdict is null || run.Result?.Verdict == filter.Verdict)
        && (filter.Standing is null || filter.Standing == (run.ClosedAt is not null ? RunStanding.Closed : run.Interrupted ? RunStanding.Interrupted : RunStanding.Open))
        && (filter.StartedFrom is null || run.StartedAt >= filter.StartedFrom)
        && (filter.StartedBefore is null || run.StartedAt < filter.StartedBefore)
        && (filter.FlashFromCelsius is null || run.Result?.Flash?.ReportedCelsius >= filter.FlashFromCelsius)
        && (filter.FlashToCelsius is null || run.Result?.Flash?.ReportedCelsius <= filter.FlashToCelsius);

    private static Gen<RunFilter> Filters(IReadOnlyList<RunSummary> all)
    {
        var time = Gen.Int[0, 30].Select(days => ArchiveBench.Start.AddDays(days));
        var celsius = Gen.Int[215, 230].Select(value => (double)value);
        return Gen.Select(
            Of<string?>(null, null, null, null, "bench-1", "bench-2", "bench-9"),
            Of(Parts),
            Of<Verdict?>(null, null, null, null, Verdict.Valid, Verdict.Doubtful, Verdict.Invalid),
            Of<RunStanding?>(null, null, RunStanding.Open, RunStanding.Closed),
            Gen.Select(Maybe(time), Maybe(time)),
            Gen.Select(Maybe(celsius), Maybe(celsius)),
            Gen.Int[1, 70],
            Of([null, null, null, .. all.Select(run => (string?)run.Id)]),
            (tester, specimen, verdict, standing, times, flash, limit, after) => new RunFilter
            {
                TesterId = tester,
                Specimen = specimen,
                Verdict = verdict,
                Standing = standing,
                StartedFrom = times.Item1,
                StartedBefore = times.Item2,
                FlashFromCelsius = flash.Item1,
                FlashToCelsius = flash.Item2,
                Limit = limit,
                After = after,
            });
    }

    private static Gen<T> Of<T>(params T[] values) => Gen.Int[0, values.Length - 1].Select(index => values[index]);

    private static Gen<T?> Maybe<T>(Gen<T> gen)
        where T : struct => Gen.Select(Gen.Int[0, 5], gen, (dice, value) => dice == 0 ? value : (T?)null);

    // Invented; starts are not in the order of the numbers, some twice the same.
    private static async Task FillAsync(RunArchive archive, int runs, CancellationToken cancel)
    {
        for (var i = 0; i < runs; i++)
        {
            var id = $"r-{i}";
            var start = ArchiveBench.Start.AddDays(i * 7 % 30);
            await archive.BeginRunAsync(ArchiveBench.Header(id, $"bench-{1 + (i % 3)}") with { Specimen = Specimens[i % Specimens.Length], StartedAt = start }, cancel);
            if (i % 5 == 4)
            {
                continue;
            }

            var result = ArchiveBench.Result with { Verdict = (Verdict)(i % 3), Flash = i % 7 == 0 ? null : new(220, 220 + (i % 9), 218 + (i % 9), 800) };
            await archive.CloseRunAsync(id, start.AddMinutes(20), result, cancel);
            if (i % 11 == 3)
            {
                var later = new LaterResult(1, 1, start, "0.1.0", true, result with { Verdict = Verdict.Invalid, Flash = i % 2 == 0 ? null : new(216, 216, 216, 700) });
                await archive.CorrectAsync(id, new(1, start, "Ada", CorrectedField.Specimen, Specimens[i % Specimens.Length], "Turbine oil, lot 99", "label misread"), later, cancel);
            }
        }
    }
}
