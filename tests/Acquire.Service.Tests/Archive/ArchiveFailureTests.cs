using System.Diagnostics;
using Acquire.ArchiveVictim;
using Acquire.Core.Readings;
using Acquire.Service.Archive;
using Microsoft.Extensions.Logging.Abstractions;
using Xunit;

namespace Acquire.Service.Tests.Archive;

public sealed class ArchiveFailureTests : IDisposable
{
    private readonly ArchiveBench _bench = new();

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    public void Dispose() => _bench.Dispose();

    [Fact(Timeout = 60000)]
    public async Task A_full_archive_says_so_keeps_the_rows_and_writes_them_when_there_is_room_again()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var archive = _bench.Open();
        await archive.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);
        await archive.AppendRowsAsync("r-1", Rows(0, 500), cancel);
        await archive.AppendEventsAsync("r-1", [VictimRows.FactAt(0)], cancel);
        archive.LargestBytes = 1;

        await archive.AppendRowsAsync("r-1", Rows(500, 5000), cancel);
        var refused = await Assert.ThrowsAsync<ArchiveUnavailableException>(() => archive.AppendEventsAsync("r-1", [VictimRows.FactAt(1)], cancel));
        Assert.Contains("full", refused.Message, StringComparison.Ordinal);
        var closing = await Assert.ThrowsAsync<ArchiveUnavailableException>(() => archive.CloseRunAsync("r-1", ArchiveBench.Start, ArchiveBench.Result, cancel));
        Assert.Contains("full", closing.Message, StringComparison.Ordinal);
        var health = archive.Health;
        Assert.False(health.Ok);
        Assert.Contains("free space", health.Text, StringComparison.Ordinal);
        Assert.Equal(5000, health.QueueDepth);
        Assert.Equal(500, archive.ArchivedRows("r-1"));
        await archive.AppendRowsAsync("r-1", Rows(5500, 10), cancel);

        archive.LargestBytes = null;
        await UntilAsync(() => archive.Health.Ok);
        await archive.AppendEventsAsync("r-1", [VictimRows.FactAt(1)], cancel);
        await archive.CloseRunAsync("r-1", ArchiveBench.Start, ArchiveBench.Result, cancel);

        Assert.Equal(0, archive.Health.QueueDepth);
        ArchiveBench.AssertSameBits(Rows(0, 5510), archive.ReadRows("r-1"));
        Assert.Equal([0.0, 1.0], archive.ReadEvents("r-1", 0).Select(fact => fact.AtSeconds));
        Assert.Empty(archive.Check());
    }

    [Fact(Timeout = 60000)]
    public async Task An_archive_that_failed_with_nothing_left_to_write_recovers_by_itself()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var archive = _bench.Open();
        archive.LargestBytes = 1;
        await Assert.ThrowsAsync<ArchiveUnavailableException>(() => archive.BeginRunAsync(Wide("r-1"), cancel));
        await UntilAsync(() => !archive.Health.Ok);

        archive.LargestBytes = null;
        await UntilAsync(() => archive.Health.Ok);

        await archive.BeginRunAsync(Wide("r-1"), cancel);
        Assert.NotNull(archive.FindRun("r-1"));
    }

    [Fact(Timeout = 60000)]
    public async Task A_full_queue_makes_senders_wait_in_order_and_lets_them_go_on_afterwards()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var archive = _bench.Open(new ArchiveOptions { QueueCapacity = 1024 });
        await archive.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);
        archive.LargestBytes = 1;
        await archive.AppendRowsAsync("r-1", Rows(0, 1000), cancel);

        var first = archive.AppendRowsAsync("r-1", Rows(1000, 100), cancel).AsTask();
        var second = archive.AppendRowsAsync("r-1", Rows(1100, 1), cancel).AsTask();
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(cancel);
        var withdrawn = archive.AppendRowsAsync("r-1", Rows(7000, 1), stop.Token).AsTask();
        await UntilAsync(() => !archive.Health.Ok);
        Assert.False(first.IsCompleted || second.IsCompleted);
        await stop.CancelAsync();
        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => withdrawn);

        archive.LargestBytes = null;
        await Task.WhenAll(first, second);
        await archive.AppendEventsAsync("r-1", [VictimRows.FactAt(0)], cancel);
        ArchiveBench.AssertSameBits(Rows(0, 1101), archive.ReadRows("r-1"));
    }

    [Fact(Timeout = 60000)]
    public async Task A_fault_of_the_database_itself_makes_the_writer_open_it_afresh_and_go_on()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var archive = _bench.Open();
        await archive.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);
        await archive.AppendRowsAsync("r-1", Rows(0, 500), cancel);
        await archive.AppendEventsAsync("r-1", [VictimRows.FactAt(0)], cancel);
        using var stranger = _bench.Stranger(writes: true);
        ArchiveBench.Ask(stranger, "ALTER TABLE events RENAME TO mislaid");

        await archive.AppendRowsAsync("r-1", Rows(500, 700), cancel);
        await Assert.ThrowsAsync<ArchiveUnavailableException>(() => archive.AppendEventsAsync("r-1", [VictimRows.FactAt(1)], cancel));
        ArchiveBench.Ask(stranger, "ALTER TABLE mislaid RENAME TO events");
        await UntilAsync(() => archive.Health.Ok);
        await archive.AppendEventsAsync("r-1", [VictimRows.FactAt(1)], cancel);

        ArchiveBench.AssertSameBits(Rows(0, 1200), archive.ReadRows("r-1"));
        Assert.Equal([0.0, 1.0], archive.ReadEvents("r-1", 0).Select(fact => fact.AtSeconds));
    }

    [Fact(Timeout = 60000)]
    public async Task A_stranger_who_locks_the_archive_delays_it_and_takes_nothing()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var archive = _bench.Open();
        await archive.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);
        using var stranger = _bench.Stranger(writes: true);
        ArchiveBench.Ask(stranger, "BEGIN IMMEDIATE");

        await archive.AppendRowsAsync("r-1", Rows(0, 500), cancel);
        await UntilAsync(() => !archive.Health.Ok);
        Assert.Contains("another program", archive.Health.Text, StringComparison.Ordinal);
        Assert.Empty(archive.ReadRows("r-1"));
        ArchiveBench.Ask(stranger, "ROLLBACK");
        await UntilAsync(() => archive.ArchivedRows("r-1") == 500);

        ArchiveBench.AssertSameBits(Rows(0, 500), archive.ReadRows("r-1"));
    }

    [Fact(Timeout = 60000)]
    public async Task Disposal_on_a_full_disk_ends_and_leaves_what_was_acknowledged()
    {
        var cancel = TestContext.Current.CancellationToken;
        var archive = _bench.Open(new ArchiveOptions { DrainLimit = TimeSpan.FromSeconds(0.5) });
        await archive.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);
        await archive.AppendRowsAsync("r-1", Rows(0, 500), cancel);
        await archive.AppendEventsAsync("r-1", [VictimRows.FactAt(0)], cancel);
        archive.LargestBytes = 1;
        await archive.AppendRowsAsync("r-1", Rows(500, 5000), cancel);
        await archive.DisposeAsync();

        await using var again = _bench.Open();
        Assert.Empty(again.Check());
        ArchiveBench.AssertSameBits(Rows(0, 500), again.ReadRows("r-1"));
    }

    [Fact(Timeout = 60000)]
    public async Task A_disk_that_fills_up_loses_nothing_once_space_is_freed()
    {
        var disk = Path.Combine(_bench.Folder, "disk");
        Directory.CreateDirectory(disk);
        if (!OperatingSystem.IsLinux() || !Environment.IsPrivilegedProcess || Run("mount", "-t", "tmpfs", "-o", "size=2m", "tmpfs", disk) != 0)
        {
            Assert.Skip("needs the right to mount a small file system (root on Linux); the size limit of the other tests covers the same paths");
        }

        try
        {
            await FillAsync(disk, TestContext.Current.CancellationToken);
        }
        finally
        {
            Assert.Equal(0, Run("umount", disk));
        }
    }

    private static async Task FillAsync(string disk, CancellationToken cancel)
    {
        var filler = Path.Combine(disk, "filler");
        await using var archive = RunArchive.Open(Path.Combine(disk, "runs.db"), TimeProvider.System, NullLogger<RunArchive>.Instance);
        await archive.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);
        await File.WriteAllBytesAsync(filler, new byte[1_500_000], cancel);
        var sent = 0;
        while (archive.Health.Ok)
        {
            await archive.AppendRowsAsync("r-1", Rows(sent, 1000), cancel);
            sent += 1000;
            await Task.Delay(TimeSpan.FromMilliseconds(20), TimeProvider.System, cancel);
        }

        Assert.Contains("full", archive.Health.Text, StringComparison.Ordinal);
        Assert.True(archive.ArchivedRows("r-1") < sent);
        File.Delete(filler);
        await UntilAsync(() => archive.ArchivedRows("r-1") == sent);

        Assert.True(archive.Health.Ok);
        ArchiveBench.AssertSameBits(Rows(0, sent), archive.ReadRows("r-1"));
        Assert.Empty(archive.Check());
    }

    private static RunHeader Wide(string id) => ArchiveBench.Header(id) with { Source = new string('s', 50_000) };

    private static ReadingRow[] Rows(int from, int count) => [.. Enumerable.Range(from, count).Select(i => VictimRows.At(i))];

    private static int Run(string program, params string[] arguments)
    {
        using var process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardError = true })!;
        process.WaitForExit();
        return process.ExitCode;
    }

    private static async Task UntilAsync(Func<bool> condition)
    {
        while (!condition())
        {
            await Task.Delay(TimeSpan.FromMilliseconds(20), TimeProvider.System, Cancel);
        }
    }
}
