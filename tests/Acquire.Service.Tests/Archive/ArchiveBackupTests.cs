using Acquire.Service.Archive;
using Acquire.Service.Archive.Chain;
using Acquire.Service.Archive.Copies;
using Xunit;

namespace Acquire.Service.Tests.Archive;

/// <summary>Copies of an archive, and putting them back.</summary>
public sealed class ArchiveBackupTests : IDisposable
{
    private readonly ArchiveBench _bench = new();
    private readonly string _elsewhere = TestFolders.Make("acquire-copies-");

    private string CopyPath => Path.Combine(_elsewhere, "copy.db");

    public void Dispose()
    {
        _bench.Dispose();
        Directory.Delete(_elsewhere, recursive: true);
    }

    [Fact(Timeout = 120000)]
    public async Task A_copy_taken_under_load_is_sound_and_holds_all_that_was_acknowledged_before_it()
    {
        var cancel = TestContext.Current.CancellationToken;
        var rows = ArchiveBench.PlausibleRun(6000);
        var acknowledged = new long[3];
        var known = new List<(long[] Rows, string Copy)>();
        await using (var archive = _bench.Open())
        {
            using var stop = CancellationTokenSource.CreateLinkedTokenSource(cancel);
            for (var i = 0; i < acknowledged.Length; i++)
            {
                await archive.BeginRunAsync(ArchiveBench.Header($"r-{i}"), cancel);
            }

            var load = Task.WhenAll(Enumerable.Range(0, acknowledged.Length).Select(i => Task.Run(() => LoadAsync(archive, $"r-{i}", rows, acknowledged, i, stop.Token), cancel)));
            for (var round = 0; round < 8; round++)
            {
                var before = acknowledged.Select((_, i) => Interlocked.Read(ref acknowledged[i])).ToArray();
                var copy = Path.Combine(_elsewhere, $"copy-{round}.db");
                Assert.Empty(ArchiveBackup.Make(_bench.Path, copy).Faults);
                known.Add((before, copy));
            }

            await stop.CancelAsync();
            await load;
        }

        Assert.True(known[^1].Rows.Sum() > known[0].Rows.Sum(), "nothing was written while the copies were made");
        foreach (var (before, copy) in known)
        {
            using var place = new ArchiveBench();
            ArchiveRestore.PutInPlace(copy, place.Path, null, ArchiveBench.Start);
            await using var restored = place.Open();
            for (var i = 0; i < before.Length; i++)
            {
                var held = restored.ReadRows($"r-{i}").ToArray();
                Assert.True(held.Length >= before[i], $"{copy}: {held.Length} rows of r-{i}, {before[i]} were acknowledged");
                ArchiveBench.AssertSameBits(rows.Take(held.Length), held);
            }

            Assert.Empty(ArchiveVerifier.Verify(place.Path).Faults);
        }
    }

    [Fact(Timeout = 60000)]
    public async Task What_stood_there_is_set_aside_and_how_much_is_only_there_is_said()
    {
        var cancel = TestContext.Current.CancellationToken;
        await FillAsync("r-1", cancel);
        ArchiveBackup.Make(_bench.Path, CopyPath);
        await FillAsync("r-2", cancel);

        var done = ArchiveRestore.PutInPlace(CopyPath, _bench.Path, null, ArchiveBench.Start);

        // Header and closing of r-2, and its 19 facts.
        Assert.Equal(2 + ArchiveBench.EveryFact.Count, done.RecordsOnlySetAside);
        Assert.Equal(_bench.Path + ".replaced-20260302T093015Z", done.SetAside);
        Assert.Equal(2, ArchiveVerifier.Verify(done.SetAside!).Records["header"]);
        await using var archive = _bench.Open();
        Assert.Equal(["r-1"], archive.ListRuns(null, 10).Select(run => run.Id));
    }

    [Fact(Timeout = 60000)]
    public async Task A_log_that_was_not_folded_in_is_set_aside_with_its_file_and_never_stays_beside_the_copy()
    {
        var cancel = TestContext.Current.CancellationToken;
        await FillAsync("r-1", cancel);
        ArchiveBackup.Make(_bench.Path, CopyPath);
        var killed = Path.Combine(_elsewhere, "killed.db");
        await using (var archive = _bench.Open())
        {
            await archive.BeginRunAsync(ArchiveBench.Header("r-2"), cancel);
            await archive.AppendEventsAsync("r-2", ArchiveBench.EveryFact, cancel);
            // As a kill leaves them: the newest records are in the log only.
            File.Copy(_bench.Path, killed);
            File.Copy(_bench.Path + "-wal", killed + "-wal");
        }

        var done = ArchiveRestore.PutInPlace(CopyPath, killed, null, ArchiveBench.Start);

        Assert.False(File.Exists(killed + "-wal"));
        Assert.Equal(1, ArchiveVerifier.Verify(killed).Records["header"]);
        Assert.Equal(2, ArchiveVerifier.Verify(done.SetAside!).Records["header"]);
        Assert.Equal(1 + ArchiveBench.EveryFact.Count, done.RecordsOnlySetAside);
    }

    [Fact(Timeout = 60000)]
    public async Task A_copy_is_refused_that_is_not_sound_or_older_than_a_head_and_nothing_is_changed()
    {
        var cancel = TestContext.Current.CancellationToken;
        await FillAsync("r-1", cancel);
        ArchiveBackup.Make(_bench.Path, CopyPath);
        await FillAsync("r-2", cancel);
        var (head, before) = (ArchiveHead.ReadFrom(_bench.Path), await File.ReadAllBytesAsync(_bench.Path, cancel));

        Assert.Contains("records are missing", Refusal(() => ArchiveRestore.PutInPlace(CopyPath, _bench.Path, head, ArchiveBench.Start)), StringComparison.Ordinal);
        using (var stranger = TamperBench.Stranger(CopyPath))
        {
            ArchiveBench.Ask(stranger, "UPDATE events SET at_seconds = 3.5 WHERE sequence = 3");
        }

        Assert.Contains("event 3: altered", Refusal(() => ArchiveRestore.PutInPlace(CopyPath, _bench.Path, null, ArchiveBench.Start)), StringComparison.Ordinal);
        await File.WriteAllTextAsync(CopyPath, "no database", cancel);
        Refusal(() => ArchiveRestore.PutInPlace(CopyPath, _bench.Path, null, ArchiveBench.Start));
        await File.WriteAllBytesAsync(CopyPath, before.AsMemory(0, 20_000).ToArray(), cancel);
        Refusal(() => ArchiveRestore.PutInPlace(CopyPath, _bench.Path, null, ArchiveBench.Start));
        await File.WriteAllTextAsync(CopyPath, "", cancel);
        Refusal(() => ArchiveRestore.PutInPlace(CopyPath, _bench.Path, null, ArchiveBench.Start));
        Refusal(() => ArchiveRestore.PutInPlace(CopyPath + ".none", _bench.Path, null, ArchiveBench.Start));

        Assert.Equal(before, await File.ReadAllBytesAsync(_bench.Path, cancel));
        Assert.DoesNotContain(Directory.GetFiles(_bench.Folder), file => file.EndsWith(".partial", StringComparison.Ordinal) || file.Contains("replaced", StringComparison.Ordinal));
    }

    [Fact(Timeout = 60000)]
    public async Task A_copy_that_is_refused_leaves_nothing_where_nothing_was()
    {
        await FillAsync("r-1", TestContext.Current.CancellationToken);
        ArchiveBackup.Make(_bench.Path, CopyPath);
        using (var stranger = TamperBench.Stranger(CopyPath))
        {
            ArchiveBench.Ask(stranger, "UPDATE events SET at_seconds = 3.5 WHERE sequence = 3");
        }

        var place = Path.Combine(_elsewhere, "new", "data", "runs.db");
        foreach (var copy in (string[])[CopyPath, CopyPath + ".none"])
        {
            Refusal(() => ArchiveRestore.PutInPlace(copy, place, null, ArchiveBench.Start));
            Refusal(() => ArchiveRestore.PutInPlace(copy, Path.Combine(_elsewhere, "runs.db"), null, ArchiveBench.Start));
        }

        Assert.Equal([CopyPath], Directory.GetFileSystemEntries(_elsewhere));
        await File.WriteAllTextAsync(Path.Combine(_elsewhere, "new"), "a file", TestContext.Current.CancellationToken);
        ArchiveBackup.Make(_bench.Path, CopyPath + ".2");
        Assert.Contains("cannot be made", Refusal(() => ArchiveRestore.PutInPlace(CopyPath + ".2", place, null, ArchiveBench.Start)), StringComparison.Ordinal);
    }

    [Fact(Timeout = 60000)]
    public async Task The_log_beside_an_archive_that_was_emptied_is_set_aside_with_every_byte()
    {
        var cancel = TestContext.Current.CancellationToken;
        await FillAsync("r-1", cancel);
        ArchiveBackup.Make(_bench.Path, CopyPath);
        var emptied = Path.Combine(_elsewhere, "emptied.db");
        await using (var archive = _bench.Open())
        {
            await archive.BeginRunAsync(ArchiveBench.Header("r-2"), cancel);
            await File.WriteAllBytesAsync(emptied, [], cancel);
            File.Copy(_bench.Path + "-wal", emptied + "-wal");
        }

        var log = await File.ReadAllBytesAsync(emptied + "-wal", cancel);
        var done = ArchiveRestore.PutInPlace(CopyPath, emptied, null, ArchiveBench.Start);

        Assert.NotEmpty(log);
        Assert.Equal(log, await File.ReadAllBytesAsync(done.SetAside + "-wal", cancel));
        Assert.False(File.Exists(emptied + "-wal"));
        Assert.Contains("empty", done.WhyNoHeadBefore, StringComparison.Ordinal);
    }

    [Fact(Timeout = 60000)]
    public async Task What_is_only_there_is_counted_from_where_the_two_went_different_ways()
    {
        var cancel = TestContext.Current.CancellationToken;
        await FillAsync("r-1", cancel);
        ArchiveBackup.Make(_bench.Path, CopyPath);
        await FillAsync("r-2", cancel);
        ArchiveBackup.Make(_bench.Path, CopyPath + ".longer");
        Assert.Equal(0, ArchiveRestore.PutInPlace(CopyPath + ".longer", _bench.Path, null, ArchiveBench.Start).RecordsOnlySetAside);
        ArchiveRestore.PutInPlace(CopyPath, _bench.Path, null, ArchiveBench.Start);
        await using (var archive = _bench.Open())
        {
            await archive.BeginRunAsync(ArchiveBench.Header("r-3"), cancel);
            await archive.CloseRunAsync("r-3", ArchiveBench.Start, ArchiveBench.Result, cancel);
        }

        Assert.Equal(2, ArchiveRestore.PutInPlace(CopyPath + ".longer", _bench.Path, null, ArchiveBench.Start).RecordsOnlySetAside);
        Assert.Equal(2 + ArchiveBench.EveryFact.Count, ArchiveRestore.PutInPlace(CopyPath, _bench.Path, null, ArchiveBench.Start).RecordsOnlySetAside);
    }

    [Fact(Timeout = 60000)]
    public async Task While_the_service_has_the_archive_nothing_is_put_in_its_place()
    {
        await FillAsync("r-1", TestContext.Current.CancellationToken);
        ArchiveBackup.Make(_bench.Path, CopyPath);
        await using var archive = _bench.Open();

        Assert.Contains("another instance of this program has it open", Refusal(() => ArchiveRestore.PutInPlace(CopyPath, _bench.Path, null, ArchiveBench.Start)), StringComparison.Ordinal);
        Assert.Empty(Directory.GetFiles(_bench.Folder, "*.replaced-*"));
    }

    [Fact(Timeout = 60000)]
    public async Task An_unsound_archive_is_not_copied_and_no_copy_takes_the_place_of_another()
    {
        await FillAsync("r-1", TestContext.Current.CancellationToken);
        ArchiveBackup.Make(_bench.Path, CopyPath);
        Assert.Contains("never takes the place of another", Refusal(() => ArchiveBackup.Make(_bench.Path, CopyPath)), StringComparison.Ordinal);
        using (var stranger = TamperBench.Stranger(_bench.Path))
        {
            ArchiveBench.Ask(stranger, "UPDATE events SET at_seconds = 3.5 WHERE sequence = 3");
        }

        Assert.Contains("event 3: altered", Refusal(() => ArchiveBackup.Make(_bench.Path, CopyPath + ".2")), StringComparison.Ordinal);
        Assert.Equal([CopyPath], Directory.GetFiles(_elsewhere));
    }

    private static string Refusal(Action act) => Assert.ThrowsAny<ArchiveRefusedException>(act).Message;

    private static async Task LoadAsync(RunArchive archive, string id, Acquire.Core.Readings.ReadingRow[] rows, long[] acknowledged, int index, CancellationToken stop)
    {
        for (var from = 0; from + 20 <= rows.Length && !stop.IsCancellationRequested; from += 20)
        {
            await archive.AppendRowsAsync(id, rows.AsMemory(from, 20), CancellationToken.None);
            await archive.AppendEventsAsync(id, [ArchiveBench.EveryFact[from / 20 % ArchiveBench.EveryFact.Count]], CancellationToken.None);
            Interlocked.Exchange(ref acknowledged[index], from + 20);
        }
    }

    private async Task FillAsync(string id, CancellationToken cancel)
    {
        await using var archive = _bench.Open();
        await archive.BeginRunAsync(ArchiveBench.Header(id), cancel);
        await archive.AppendEventsAsync(id, ArchiveBench.EveryFact, cancel);
        await archive.CloseRunAsync(id, ArchiveBench.Start, ArchiveBench.Result, cancel);
    }
}
