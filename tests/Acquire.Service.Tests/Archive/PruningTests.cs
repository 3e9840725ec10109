using Acquire.Service.Archive;
using Acquire.Service.Archive.Chain;
using Acquire.Service.Archive.Copies;
using Acquire.Service.Archive.Corrections;
using Acquire.Service.Archive.Keeping;
using Xunit;

namespace Acquire.Service.Tests.Archive;

public sealed class PruningTests : IDisposable
{
    private readonly ArchiveBench _bench = new();

    public void Dispose() => _bench.Dispose();

    [Fact(Timeout = 60000)]
    public async Task What_was_pruned_is_gone_from_every_byte_of_the_file_and_the_chain_stays_sound_for_an_earlier_head()
    {
        var cancel = TestContext.Current.CancellationToken;
        ArchiveHead head;
        await using (var archive = _bench.Open())
        {
            await FillAsync(archive, "r-1", "Kettle oil of Mrs Brandt", cancel);
            await FillAsync(archive, "r-2", "Gear oil", cancel);
            head = ArchiveHead.ReadFrom(_bench.Path);
            await archive.PruneAsync(Pruning("r-1"), cancel);

            Assert.Null(archive.FindRun("r-1"));
            Assert.Equal(["r-2"], archive.ListRuns(null, 10).Select(run => run.Id));
            Assert.Equal(Pruning("r-1") with { Records = 3 + ArchiveBench.EveryFact.Count }, archive.FindPruning("r-1"));
            Assert.Null(archive.FindPruning("r-2"));
            Assert.Empty(archive.Check());
        }

        ArchiveShrinking.Run(_bench.Path);

        var found = ArchiveVerifier.Verify(_bench.Path, head);
        Assert.Empty(found.Faults);
        Assert.Equal((1, 1), (found.Records["header"], found.Records["pruning"]));
        var text = System.Text.Encoding.Latin1.GetString(await File.ReadAllBytesAsync(_bench.Path, cancel));
        Assert.DoesNotContain("Mrs Brandt", text, StringComparison.Ordinal);
        Assert.Contains("Gear oil", text, StringComparison.Ordinal);
    }

    [Fact(Timeout = 60000)]
    public async Task Its_number_is_never_given_again()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using (var archive = _bench.Open())
        {
            await FillAsync(archive, "r-1", "oil", cancel);
            await archive.PruneAsync(Pruning("r-1"), cancel);
            await FillAsync(archive, "r-2", "oil", cancel);
        }

        Assert.Empty(ArchiveVerifier.Verify(_bench.Path).Faults);
        using var stranger = _bench.Stranger();
        Assert.Equal(2L, ArchiveBench.Ask(stranger, "SELECT number FROM runs"));
    }

    [Fact(Timeout = 60000)]
    public async Task A_run_is_not_pruned_that_is_on_hold_or_open_or_ended_otherwise_than_was_said()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var archive = _bench.Open();
        await FillAsync(archive, "r-1", "oil", cancel);
        var keeper = new RunKeeper(archive, new([], []) { MayHold = ["Ada"] }, TimeProvider.System);
        Assert.Equal(AuditOutcome.Done, (await keeper.HoldAsync("r-1", true, "Ada", "a complaint is open", cancel)).Outcome);
        Assert.Equal(AuditOutcome.Conflict, (await keeper.HoldAsync("r-1", true, "Ada", "twice", cancel)).Outcome);

        Assert.Contains("on hold", (await Assert.ThrowsAsync<InvalidOperationException>(() => archive.PruneAsync(Pruning("r-1"), cancel))).Message, StringComparison.Ordinal);
        Assert.Equal("a complaint is open", Assert.Single(archive.PrunableBefore(ArchiveBench.Start.AddDays(1)).Held).Value.Reason);
        Assert.Empty(archive.PrunableBefore(ArchiveBench.Start.AddDays(1)).Runs);

        Assert.Equal(AuditOutcome.Done, (await keeper.HoldAsync("r-1", false, "Ada", "it was settled", cancel)).Outcome);
        await Assert.ThrowsAsync<InvalidOperationException>(() => archive.PruneAsync(Pruning("r-1") with { EndedAt = ArchiveBench.Start.AddDays(-1) }, cancel));
        await archive.BeginRunAsync(ArchiveBench.Header("r-2"), cancel);
        await Assert.ThrowsAsync<InvalidOperationException>(() => archive.PruneAsync(Pruning("r-2"), cancel));
        Assert.Equal("r-1", Assert.Single(archive.PrunableBefore(ArchiveBench.Start.AddDays(1)).Runs).Id);
        Assert.Empty(archive.PrunableBefore(ArchiveBench.Start).Runs);
        await archive.PruneAsync(Pruning("r-1"), cancel);
        Assert.NotNull(archive.FindPruning("r-1"));
    }

    [Theory]
    [InlineData("Ada", 400, null, true, "--person: 'Ada' may not prune")]
    [InlineData("Bea", 364, null, true, "--older-than-days: is 364; allowed: 365 (retention.keepDays) to 36500")]
    [InlineData("Bea", null, null, false, "--copy: either a copy")]
    [InlineData("Bea", null, "copy.db", true, "--copy: either a copy")]
    [InlineData("Bea", 400, "copy.db", false, null)]
    [InlineData("Bea", null, null, true, null)]
    public void An_order_stands_only_by_role_age_and_either_copy_or_for_good(string person, int? days, string? copy, bool forGood, string? refusal)
    {
        var refused = PruneRules.WhyNot(new(person, "age", days, copy, forGood), new([], []) { MayPrune = ["Bea"] }, 365);

        Assert.Equal(refusal is null, refused is null);
        Assert.StartsWith(refusal ?? "", refused?.ToString() ?? "", StringComparison.Ordinal);
        Assert.Contains("for ever", PruneRules.WhyNot(new("Bea", "age", days, copy, forGood), new([], []) { MayPrune = ["Bea"] }, null)!.ToString(), StringComparison.Ordinal);
    }

    [Fact(Timeout = 60000)]
    public async Task A_copy_must_be_of_this_archive_sound_and_hold_every_record_of_what_goes()
    {
        var cancel = TestContext.Current.CancellationToken;
        var (early, late) = (Path.Combine(_bench.Folder, "early.db"), Path.Combine(_bench.Folder, "late.db"));
        await using var archive = _bench.Open();
        await FillAsync(archive, "r-1", "oil", cancel);
        ArchiveBackup.Make(_bench.Path, early);
        await archive.ApproveAsync("r-1", new(1, ArchiveBench.Start, "Bea", 0), cancel);
        ArchiveBackup.Make(_bench.Path, late);
        using var other = new ArchiveBench();
        await other.Open().DisposeAsync();

        Assert.Contains("does not hold all of run r-1", CopyComparison.WhyNotHeld(_bench.Path, early, ["r-1"], out _), StringComparison.Ordinal);
        Assert.Contains("another archive", CopyComparison.WhyNotHeld(_bench.Path, other.Path, ["r-1"], out _), StringComparison.Ordinal);
        Assert.Null(CopyComparison.WhyNotHeld(_bench.Path, late, ["r-1"], out var head));
        Assert.Equal(ArchiveHead.ReadFrom(late).Link, head!.Link);
        await archive.PruneAsync(Pruning("r-1"), cancel);
        var pruned = Path.Combine(_bench.Folder, "pruned.db");
        ArchiveBackup.Make(_bench.Path, pruned);
        Assert.Contains("does not hold all of run r-1", CopyComparison.WhyNotHeld(_bench.Path, pruned, ["r-1"], out _), StringComparison.Ordinal);
        using (var stranger = TamperBench.Stranger(late))
        {
            ArchiveBench.Ask(stranger, "DELETE FROM events WHERE sequence = 3");
        }

        Assert.Contains("not sound", CopyComparison.WhyNotHeld(_bench.Path, late, ["r-1"], out _), StringComparison.Ordinal);
    }

    [Fact(Timeout = 60000)]
    public async Task The_archive_itself_is_no_copy_of_it_under_whatever_name()
    {
        await using var archive = _bench.Open();
        await FillAsync(archive, "r-1", "oil", TestContext.Current.CancellationToken);
        var names = new List<string> { _bench.Path, Path.Combine(_bench.Folder, ".", "runs.db") };
        if (!OperatingSystem.IsWindows())
        {
            names.AddRange([Path.Combine(_bench.Folder, "link.db"), Path.Combine(_bench.Folder, "folder", "runs.db")]);
            File.CreateSymbolicLink(names[2], _bench.Path);
            Directory.CreateSymbolicLink(Path.GetDirectoryName(names[3])!, _bench.Folder);
        }

        Assert.All(names, name => Assert.Contains("is the archive itself", CopyComparison.WhyNotHeld(_bench.Path, name, ["r-1"], out _), StringComparison.Ordinal));
    }

    private static RunPruning Pruning(string id) =>
        new(id, ArchiveBench.Start.AddDays(4000), "Bea", "older than ten years", "bench-1", "astm-d92-18", ArchiveBench.Start, ArchiveBench.Start, "doubtful", 0, null);

    private static async Task FillAsync(RunArchive archive, string id, string specimen, CancellationToken cancel)
    {
        await archive.BeginRunAsync(ArchiveBench.Header(id) with { Specimen = specimen }, cancel);
        await archive.AppendRowsAsync(id, ArchiveBench.PlausibleRun(100), cancel);
        await archive.AppendEventsAsync(id, ArchiveBench.EveryFact, cancel);
        await archive.CloseRunAsync(id, ArchiveBench.Start, ArchiveBench.Result, cancel);
    }
}
