using Acquire.Service.Archive;
using Acquire.Service.Archive.Chain;
using Acquire.Service.Live;
using Xunit;

namespace Acquire.Service.Tests.Archive;

public sealed class ArchiveDamageTests : IDisposable
{
    private readonly ArchiveBench _bench = new();

    public void Dispose() => _bench.Dispose();

    [Theory]
    [InlineData("UPDATE chunks SET body = zeroblob(length(body)) WHERE chunk = 1", "chunk 1", "format version is 0")]
    [InlineData("UPDATE chunks SET body = substr(body, 1, 40) WHERE chunk = 1", "chunk 1", "checksum")]
    [InlineData("UPDATE chunks SET body = zeroblob(7000000) WHERE chunk = 1", "chunk 1", "longer than")]
    [InlineData("UPDATE chunks SET body = (SELECT body FROM chunks WHERE chunk = 2) WHERE chunk = 1", "chunk 1", "50 rows where 100")]
    [InlineData("DELETE FROM chunks WHERE chunk = 1", "chunk 2", "where row 100 is due")]
    [InlineData("UPDATE chunks SET chunk = 40 WHERE chunk = 2", "chunk 16", "missing")]
    public async Task Damage_to_the_rows_is_told_with_run_and_chunk(string damage, string part, string fault)
    {
        await using var archive = await WithRunAsync(damage);

        var error = Assert.Throws<ArchiveCorruptException>(() => archive.ReadRows("r-1").Count());

        Assert.Equal(("r-1", part), (error.RunId, error.Part));
        Assert.Contains(fault, error.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("UPDATE events SET body = 'x' WHERE sequence = 3", "event 3")]
    [InlineData("UPDATE events SET body = 'null' WHERE sequence = 3", "event 3")]
    [InlineData("UPDATE events SET body = replace(body, 'application-judged', 'of-tomorrow') WHERE sequence = 11", "event 11")]
    [InlineData("UPDATE runs SET plan = '{}'", "its plan")]
    [InlineData("UPDATE runs SET result = '[1]'", "its result")]
    [InlineData("UPDATE runs SET started_at_utc = 'yesterday'", "its start")]
    public async Task Damage_to_the_rest_is_told_with_run_and_part(string damage, string part)
    {
        await using var archive = await WithRunAsync(damage);

        var error = Assert.Throws<ArchiveCorruptException>(() => archive.FindRun("r-1"));

        Assert.Equal(("r-1", part), (error.RunId, error.Part));
    }

    [Theory]
    [InlineData("UPDATE runs SET result = '[1]'", "its result")]
    [InlineData("UPDATE runs SET result = '{}'", "its result")]
    [InlineData("UPDATE runs SET result = replace(result, '\"findings\":[', '\"findings\":[null,')", "its result")]
    [InlineData("UPDATE runs SET started_at_utc = 'yesterday'", "its start")]
    [InlineData("UPDATE runs SET started_at_utc = ''", "its start")]
    [InlineData("UPDATE runs SET closed_at_utc = '2026-13-02T09:30:15.1230000Z'", "its end")]
    public async Task A_damaged_run_hides_no_other_in_a_list_and_is_told_there_without_its_result(string damage, string part)
    {
        await using var archive = await WithRunAsync(damage);
        await archive.BeginRunAsync(ArchiveBench.Header("r-2"), TestContext.Current.CancellationToken);
        await archive.CloseRunAsync("r-2", ArchiveBench.Start, ArchiveBench.Result, TestContext.Current.CancellationToken);

        var runs = archive.ListRuns(null, 10).ToDictionary(run => run.Id);

        Assert.Equal(["r-1", "r-2"], runs.Keys.Order());
        Assert.StartsWith(part + ": ", runs["r-1"].Damage, StringComparison.Ordinal);
        Assert.Null(runs["r-1"].Result);
        Assert.Equal((250, part == "its start", part == "its end"), (runs["r-1"].ArchivedRows, runs["r-1"].StartedAt == RunSummary.UnreadableTime, runs["r-1"].ClosedAt == RunSummary.UnreadableTime));
        Assert.Null(runs["r-2"].Damage);
        Assert.Equivalent(ArchiveBench.Result, runs["r-2"].Result, strict: true);
        Assert.Equal(part, Assert.Throws<ArchiveCorruptException>(() => archive.FindRun("r-1")).Part);
        Assert.Equal(2, archive.ListRuns(null, 1).Concat(archive.ListRuns(new RunFilter { After = archive.ListRuns(null, 1)[0].Id })).DistinctBy(run => run.Id).Count());
    }

    [Fact]
    public async Task Everything_that_is_damaged_of_a_run_is_told_in_its_line()
    {
        await using var archive = await WithRunAsync("UPDATE runs SET started_at_utc = 'yesterday', closed_at_utc = 'today', result = 'x'");

        var damage = Assert.Single(archive.ListRuns(null, 10)).Damage!;

        Assert.StartsWith("its start: 'yesterday' is not a time; its end: 'today' is not a time; its result: ", damage, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("NaN")]
    [InlineData("Infinity")]
    [InlineData("1e999")]
    [InlineData("x")]
    public async Task A_correction_to_no_number_is_told(string value)
    {
        await using var archive = await WithRunAsync($"INSERT INTO corrections VALUES (1, 1, '2026-03-02T09:30:15.1230000Z', 'Ada', 'station-pressure', '98.7', '{value}', 'x')");

        var error = Assert.Throws<ArchiveCorruptException>(() => archive.FindRun("r-1"));

        Assert.Equal(("r-1", "correction 1"), (error.RunId, error.Part));
    }

    [Theory(Timeout = 60000)]
    [InlineData("DELETE FROM chunks WHERE chunk > 0", "chunk 1")]
    [InlineData("DELETE FROM events WHERE sequence > 3", "event 4")]
    public async Task A_run_whose_newest_records_are_gone_is_not_taken_up_and_is_marked_interrupted_behind_them(string damage, string part)
    {
        var (cancel, options) = (TestContext.Current.CancellationToken, new ArchiveOptions { ChunkRows = 100, KeepsOpenRuns = true });
        await using (var archive = _bench.Open(options))
        {
            await archive.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);
            await archive.AppendRowsAsync("r-1", ArchiveBench.PlausibleRun(250), cancel);
            await archive.AppendEventsAsync("r-1", ArchiveBench.EveryFact, cancel);
        }

        using (var stranger = TamperBench.Stranger(_bench.Path))
        {
            ArchiveBench.Ask(stranger, damage);
        }

        await using var again = _bench.Open(options);
        Assert.Equal(part, Assert.Throws<ArchiveCorruptException>(() => again.TakeUp("r-1")).Part);
        await again.InterruptAsync("r-1", ArchiveBench.Start, new(7.5, "its record is damaged"), cancel);
        Assert.Empty(again.OpenRuns());
        Assert.Contains(ArchiveVerifier.Verify(_bench.Path).Faults, fault => fault.Record == part && fault.Text == "missing");
    }

    [Fact]
    public async Task Rows_before_the_damage_can_still_be_read()
    {
        await using var archive = await WithRunAsync("UPDATE chunks SET body = zeroblob(100) WHERE chunk = 2");

        ArchiveBench.AssertSameBits(ArchiveBench.PlausibleRun(250).Take(200), archive.ReadRows("r-1").Take(200));
    }

    [Fact]
    public async Task A_check_of_the_whole_record_tells_all_damage_and_goes_on_behind_it()
    {
        await using var archive = await WithRunAsync("UPDATE chunks SET body = zeroblob(100) WHERE chunk = 1; UPDATE events SET body = 'x' WHERE sequence = 3");

        var faults = archive.Check();

        Assert.Equal(2, faults.Count);
        Assert.Contains("'r-1' is damaged at event 3", faults[0], StringComparison.Ordinal);
        Assert.Contains("'r-1' is damaged at chunk 1", faults[1], StringComparison.Ordinal);
    }

    [Fact]
    public async Task Damaged_pages_of_the_file_are_found_and_told()
    {
        await using (await WithRunAsync("SELECT 1"))
        {
        }

        var bytes = await File.ReadAllBytesAsync(_bench.Path, TestContext.Current.CancellationToken);
        bytes.AsSpan(4096).Fill(0x5A);
        await File.WriteAllBytesAsync(_bench.Path, bytes, TestContext.Current.CancellationToken);

        Assert.Contains("damaged", Assert.Throws<ArchiveRefusedException>(() => _bench.Open()).Message, StringComparison.Ordinal);
    }

    private async Task<RunArchive> WithRunAsync(string damage)
    {
        var cancel = TestContext.Current.CancellationToken;
        var archive = _bench.Open(new ArchiveOptions { ChunkRows = 100 });
        await archive.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);
        await archive.AppendRowsAsync("r-1", ArchiveBench.PlausibleRun(250), cancel);
        await archive.AppendEventsAsync("r-1", ArchiveBench.EveryFact, cancel);
        await archive.CloseRunAsync("r-1", ArchiveBench.Start, ArchiveBench.Result, cancel);
        using var stranger = _bench.Stranger(writes: true);
        ArchiveBench.Ask(stranger, damage);
        return archive;
    }
}
