using Acquire.ArchiveVictim;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Service.Archive;
using CsCheck;
using Xunit;

namespace Acquire.Service.Tests.Archive;

public sealed class RunArchiveTests : IDisposable
{
    private readonly ArchiveBench _bench = new();

    public void Dispose() => _bench.Dispose();

    [Fact(Timeout = 30000)]
    public async Task A_closed_run_comes_back_whole_after_a_restart()
    {
        var cancel = TestContext.Current.CancellationToken;
        var rows = ArchiveBench.PlausibleRun(3000);
        await using (var archive = _bench.Open())
        {
            await archive.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);
            await archive.AppendRowsAsync("r-1", rows, cancel);
            await archive.AppendEventsAsync("r-1", ArchiveBench.EveryFact, cancel);
            await archive.CloseRunAsync("r-1", ArchiveBench.Start.AddMinutes(20), ArchiveBench.Result, cancel);
        }

        await using var again = _bench.Open();
        var detail = again.FindRun("r-1");
        Assert.NotNull(detail);
        Assert.Equivalent(ArchiveBench.Plan, detail.Plan, strict: true);
        Assert.Equivalent(ArchiveBench.EveryFact, detail.Events, strict: true);
        Assert.Equal(ArchiveBench.EveryFact.Select(fact => fact.GetType()), detail.Events.Select(fact => fact.GetType()));
        Assert.Equivalent(ArchiveBench.Result, detail.Summary.Result, strict: true);
        Assert.Equal(("r-1", "bench-1", "turbine oil of r-1", 220.0), (detail.Summary.Id, detail.Summary.TesterId, detail.Summary.Specimen, detail.Summary.ExpectedFlashCelsius));
        Assert.Equal(ArchiveBench.Start, detail.Summary.StartedAt);
        Assert.Equal(ArchiveBench.Start.AddMinutes(20), detail.Summary.ClosedAt);
        Assert.False(detail.Summary.Interrupted);
        Assert.Equal(3000, detail.Summary.ArchivedRows);
        ArchiveBench.AssertSameBits(rows, again.ReadRows("r-1"));
    }

    [Fact(Timeout = 30000)]
    public async Task The_thermometer_of_a_run_comes_back_with_its_signals()
    {
        var cancel = TestContext.Current.CancellationToken;
        var rows = ArchiveBench.PlausibleSignalRun(1200);
        var plan = ArchiveBench.Plan with { Thermometer = ArchiveBench.Thermocouple, MadeOn = new DateOnly(2026, 3, 2) };
        await using (var archive = _bench.Open())
        {
            await archive.BeginRunAsync(ArchiveBench.Header("r-1") with { Plan = plan }, cancel);
            await archive.AppendRowsAsync("r-1", rows, cancel);
            await archive.CloseRunAsync("r-1", ArchiveBench.Start, ArchiveBench.Result, cancel);
        }

        await using var again = _bench.Open();
        Assert.Equivalent(plan, again.FindRun("r-1")!.Plan, strict: true);
        Assert.Equal(plan.Thermometer.Sensor, again.FindRun("r-1")!.Plan.Thermometer.Sensor);
        ArchiveBench.AssertSameBits(rows, again.ReadRows("r-1"));
        Assert.Equal(rows, again.ReadRows("r-1"));
        Assert.Empty(again.Check());
    }

    [Fact]
    public void One_of_every_kind_of_fact_is_covered_by_these_tests() =>
        Assert.Equal(
            typeof(RunOutput).Assembly.GetTypes().Where(type => type.IsSubclassOf(typeof(RunOutput)) && !type.IsAbstract).Select(type => type.Name).Order(),
            ArchiveBench.EveryFact.Select(fact => fact.GetType().Name).Order());

    [Fact(Timeout = 60000)]
    public async Task Rows_keep_order_and_bits_however_they_are_cut_into_appends()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var archive = _bench.Open(new ArchiveOptions { ChunkRows = 16, CommitInterval = TimeSpan.FromMilliseconds(10) });
        var run = 0;
        await Gen.Int[1, 70].Array[1, 12].SampleAsync(async cuts =>
        {
            var id = $"cut-{Interlocked.Increment(ref run)}";
            await archive.BeginRunAsync(ArchiveBench.Header(id), cancel);
            var sent = 0;
            foreach (var cut in cuts)
            {
                await archive.AppendRowsAsync(id, Enumerable.Range(sent, cut).Select(i => VictimRows.At(i)).ToArray(), cancel);
                sent += cut;
                if (cut % 3 == 0)
                {
                    await archive.AppendEventsAsync(id, [VictimRows.FactAt(sent)], cancel);
                    Assert.Equal(sent, archive.ArchivedRows(id));
                }
            }

            await archive.CloseRunAsync(id, ArchiveBench.Start, ArchiveBench.Result, cancel);
            ArchiveBench.AssertSameBits(Enumerable.Range(0, sent).Select(i => VictimRows.At(i)), archive.ReadRows(id));
        }, iter: 60, threads: 1);
    }

    [Fact(Timeout = 30000)]
    public async Task Rows_without_any_event_are_committed_soon()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var archive = _bench.Open();
        await archive.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);

        await archive.AppendRowsAsync("r-1", ArchiveBench.PlausibleRun(2), cancel);
        var begun = TimeProvider.System.GetTimestamp();
        while (archive.ArchivedRows("r-1") < 2)
        {
            await Task.Delay(TimeSpan.FromMilliseconds(10), TimeProvider.System, cancel);
        }

        // 0.2 s by default; the rest is room for a busy machine.
        Assert.InRange(TimeProvider.System.GetElapsedTime(begun).TotalSeconds, 0, 3);
        using var stranger = _bench.Stranger();
        Assert.Equal(2L, ArchiveBench.Ask(stranger, "SELECT sum(row_count) FROM chunks"));
    }

    [Fact(Timeout = 30000)]
    public async Task Appended_rows_may_be_overwritten_by_their_owner_at_once()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var archive = _bench.Open();
        await archive.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);
        var buffer = new[] { VictimRows.At(0) };

        await archive.AppendRowsAsync("r-1", buffer, cancel);
        buffer[0] = VictimRows.At(99);
        await archive.AppendEventsAsync("r-1", [VictimRows.FactAt(0)], cancel);

        ArchiveBench.AssertSameBits([VictimRows.At(0)], archive.ReadRows("r-1"));
    }

    [Fact(Timeout = 30000)]
    public async Task Small_commits_share_chunks()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var archive = _bench.Open(new ArchiveOptions { ChunkRows = 100 });
        await archive.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);
        for (var i = 0; i < 150; i++)
        {
            await archive.AppendRowsAsync("r-1", new[] { VictimRows.At(2 * i), VictimRows.At((2 * i) + 1) }, cancel);
            await archive.AppendEventsAsync("r-1", [VictimRows.FactAt(i)], cancel);
        }

        using var stranger = _bench.Stranger();
        Assert.Equal("0:100,100:100,200:100", ArchiveBench.Ask(stranger, "SELECT group_concat(first_row || ':' || row_count) FROM (SELECT * FROM chunks ORDER BY chunk)"));
        ArchiveBench.AssertSameBits(Enumerable.Range(0, 300).Select(i => VictimRows.At(i)), archive.ReadRows("r-1"));
    }

    [Fact(Timeout = 60000)]
    public async Task A_reader_beside_the_writer_sees_a_whole_beginning_of_the_run()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var archive = _bench.Open(new ArchiveOptions { ChunkRows = 64, CommitInterval = TimeSpan.FromMilliseconds(10) });
        await archive.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);
        const int Total = 20_000;
        var writing = Task.Run(
            async () =>
            {
                for (var sent = 0; sent < Total; sent += 25)
                {
                    await archive.AppendRowsAsync("r-1", Enumerable.Range(sent, 25).Select(i => VictimRows.At(i)).ToArray(), cancel);
                    if (sent % 500 == 0)
                    {
                        await archive.AppendEventsAsync("r-1", [VictimRows.FactAt(sent / 500)], cancel);
                    }
                }

                await archive.CloseRunAsync("r-1", ArchiveBench.Start, ArchiveBench.Result, cancel);
            },
            cancel);

        var reads = 0;
        do
        {
            var acknowledged = archive.ArchivedRows("r-1");
            var rows = archive.ReadRows("r-1").ToArray();
            Assert.InRange(rows.Length, acknowledged, Total);
            ArchiveBench.AssertSameBits(Enumerable.Range(0, rows.Length).Select(i => VictimRows.At(i)), rows);
            var detail = archive.FindRun("r-1")!;
            Assert.Equal(Enumerable.Range(0, detail.Events.Count).Select(i => (double)i), detail.Events.Select(fact => fact.AtSeconds));
            reads++;
        }
        while (!writing.IsCompleted);

        await writing;
        Assert.True(reads > 1);
        Assert.Equal(Total, archive.ReadRows("r-1").Count());
    }

    [Fact(Timeout = 30000)]
    public async Task Events_are_read_from_an_index_on()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var archive = _bench.Open();
        await archive.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);
        await archive.AppendEventsAsync("r-1", [VictimRows.FactAt(0), VictimRows.FactAt(1)], cancel);
        await archive.AppendEventsAsync("r-1", [VictimRows.FactAt(2)], cancel);

        Assert.Equal([1.0, 2.0], archive.ReadEvents("r-1", 1).Select(fact => fact.AtSeconds));
        Assert.Empty(archive.ReadEvents("r-1", 3));
    }

    [Fact(Timeout = 30000)]
    public async Task Lists_are_newest_first_and_keep_to_tester_and_limit()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var archive = _bench.Open();
        foreach (var (id, tester) in new[] { ("a", "bench-1"), ("b", "bench-2"), ("c", "bench-1"), ("d", "bench-1' OR '1'='1") })
        {
            await archive.BeginRunAsync(ArchiveBench.Header(id, tester), cancel);
        }

        Assert.Equal(["d", "c", "b", "a"], archive.ListRuns(null, 10).Select(run => run.Id));
        Assert.Equal(["c", "a"], archive.ListRuns("bench-1", 10).Select(run => run.Id));
        Assert.Equal(["d", "c"], archive.ListRuns(null, 2).Select(run => run.Id));
        Assert.Equal(["d"], archive.ListRuns("bench-1' OR '1'='1", 10).Select(run => run.Id));
        Assert.Empty(archive.ListRuns("bench-3", 10));
        Assert.Throws<ArgumentOutOfRangeException>(() => archive.ListRuns(null, 0));
    }

    [Fact(Timeout = 30000)]
    public async Task What_is_good_to_list_stands_in_columns_of_its_own()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var archive = _bench.Open();
        await archive.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);
        await archive.CloseRunAsync("r-1", ArchiveBench.Start, ArchiveBench.Result, cancel);

        using var stranger = _bench.Stranger();
        Assert.Equal(
            "doubtful|222.0|none|2026-03-02T09:30:15.1230000Z",
            ArchiveBench.Ask(stranger, "SELECT verdict || '|' || reported_flash_celsius || '|' || coalesce(reported_fire_celsius, 'none') || '|' || started_at_utc FROM runs"));
    }

    [Fact(Timeout = 30000)]
    public async Task A_run_is_written_only_between_its_begin_and_its_close()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var archive = _bench.Open();
        await Assert.ThrowsAsync<InvalidOperationException>(() => archive.AppendEventsAsync("r-1", [], cancel));
        await archive.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);
        var taken = await Assert.ThrowsAsync<InvalidOperationException>(() => archive.BeginRunAsync(ArchiveBench.Header("r-1"), cancel));
        Assert.Contains("already", taken.Message, StringComparison.Ordinal);

        await archive.AppendRowsAsync("r-1", ArchiveBench.PlausibleRun(1), cancel);
        await archive.CloseRunAsync("r-1", ArchiveBench.Start, ArchiveBench.Result, cancel);

        await Assert.ThrowsAsync<InvalidOperationException>(async () => await archive.AppendRowsAsync("r-1", ArchiveBench.PlausibleRun(1), cancel));
        await Assert.ThrowsAsync<InvalidOperationException>(() => archive.CloseRunAsync("r-1", ArchiveBench.Start, ArchiveBench.Result, cancel));
        Assert.Equal(1, archive.ArchivedRows("r-1"));
    }

    [Fact(Timeout = 30000)]
    public async Task A_row_that_cannot_be_stored_is_refused_to_its_sender()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var archive = _bench.Open();
        await archive.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);

        foreach (var row in new ReadingRow[] { new(double.NaN, RowChannels.Detector, 0, 1, false), new(1, (RowChannels)8192, 0, 1, false), new(1, RowChannels.Detector, 0, 1, false) { Marks = (ReadingMarks)(1 << 10) } })
        {
            await Assert.ThrowsAsync<ArgumentException>(async () => await archive.AppendRowsAsync("r-1", new[] { row }, cancel));
        }

        await archive.AppendEventsAsync("r-1", [VictimRows.FactAt(0)], cancel);
        Assert.Equal(0, archive.ArchivedRows("r-1"));
    }

    [Fact]
    public async Task An_unknown_run_is_an_error_and_not_an_empty_record()
    {
        await using var archive = _bench.Open();

        Assert.Null(archive.FindRun("nobody"));
        Assert.Throws<KeyNotFoundException>(() => archive.ReadRows("nobody"));
        Assert.Throws<KeyNotFoundException>(() => archive.ReadEvents("nobody", 0));
        Assert.Throws<KeyNotFoundException>(() => archive.ArchivedRows("nobody"));
    }

    [Fact(Timeout = 30000)]
    public async Task Disposal_commits_everything_and_folds_the_log_in()
    {
        var cancel = TestContext.Current.CancellationToken;
        var rows = ArchiveBench.PlausibleRun(5000);
        var archive = _bench.Open(new ArchiveOptions { CommitInterval = TimeSpan.FromSeconds(1) });
        await archive.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);
        await archive.AppendRowsAsync("r-1", rows, cancel);
        await archive.DisposeAsync();

        Assert.False(File.Exists(_bench.Path + "-wal"));
        await Assert.ThrowsAsync<ObjectDisposedException>(async () => await archive.AppendRowsAsync("r-1", rows, cancel));
        await using var again = _bench.Open();
        ArchiveBench.AssertSameBits(rows, again.ReadRows("r-1"));
    }
}
