using Acquire.Service.Archive.Database;
using Acquire.Service.Archive;
using Microsoft.Extensions.Time.Testing;
using Xunit;

namespace Acquire.Service.Tests.Archive;

public sealed class ArchiveOpeningTests : IDisposable
{
    private readonly ArchiveBench _bench = new();

    public void Dispose() => _bench.Dispose();

    [Fact(Timeout = 30000)]
    public async Task A_run_that_nobody_closed_is_marked_interrupted_once_and_otherwise_left_alone()
    {
        var cancel = TestContext.Current.CancellationToken;
        var rows = ArchiveBench.PlausibleRun(30);
        await using (var archive = _bench.Open())
        {
            await archive.BeginRunAsync(ArchiveBench.Header("closed"), cancel);
            await archive.CloseRunAsync("closed", ArchiveBench.Start, ArchiveBench.Result, cancel);
            await archive.BeginRunAsync(ArchiveBench.Header("open"), cancel);
            await archive.AppendRowsAsync("open", rows, cancel);
            await archive.AppendEventsAsync("open", ArchiveBench.EveryFact, cancel);
            Assert.False(archive.FindRun("open")!.Summary.Interrupted);
        }

        var noticed = new FakeTimeProvider(ArchiveBench.Start.AddDays(1));
        await using (_bench.Open(time: noticed))
        {
            noticed.Advance(TimeSpan.FromDays(1));
        }

        await using var again = _bench.Open(time: noticed);
        var run = again.FindRun("open")!;
        Assert.True(run.Summary.Interrupted);
        Assert.Null(run.Summary.ClosedAt);
        Assert.Null(run.Summary.Result);
        Assert.Equal(ArchiveBench.EveryFact.Count, run.Events.Count);
        ArchiveBench.AssertSameBits(rows, again.ReadRows("open"));
        Assert.False(again.FindRun("closed")!.Summary.Interrupted);
        await Assert.ThrowsAsync<InvalidOperationException>(async () => await again.AppendRowsAsync("open", rows, cancel));
        using var stranger = _bench.Stranger();
        Assert.Equal("2026-03-03T09:30:15.1230000Z", ArchiveBench.Ask(stranger, "SELECT interrupted_at_utc FROM runs WHERE id = 'open'"));
    }

    [Fact(Timeout = 30000)]
    public async Task A_newer_schema_is_refused_and_left_alone()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using (_bench.Open())
        {
        }

        using (var stranger = _bench.Stranger(writes: true))
        {
            ArchiveBench.Ask(stranger, "PRAGMA user_version = 7");
            ArchiveBench.Ask(stranger, "PRAGMA journal_mode = DELETE");
        }

        var before = await File.ReadAllBytesAsync(_bench.Path, cancel);
        var refusal = Assert.Throws<ArchiveRefusedException>(() => _bench.Open());

        Assert.Contains("newer program (its content is version 7, this program knows 6)", refusal.Message, StringComparison.Ordinal);
        Assert.Equal(before, await File.ReadAllBytesAsync(_bench.Path, cancel));
    }

    [Fact]
    public void The_database_of_another_program_is_refused()
    {
        using (var stranger = _bench.Stranger(writes: true))
        {
            ArchiveBench.Ask(stranger, "CREATE TABLE recipes (name TEXT)");
        }

        Assert.Contains("not an archive of this program", Assert.Throws<ArchiveRefusedException>(() => _bench.Open()).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_file_that_is_no_database_is_refused()
    {
        File.WriteAllText(_bench.Path, string.Join('\n', Enumerable.Repeat("time_s,temperature_C", 100)));

        Assert.Contains("not a database", Assert.Throws<ArchiveRefusedException>(() => _bench.Open()).Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_second_instance_is_refused_until_the_first_has_closed()
    {
        await using (_bench.Open())
        {
            Assert.Contains("another instance", Assert.Throws<ArchiveRefusedException>(() => _bench.Open()).Message, StringComparison.Ordinal);
        }

        await using var second = _bench.Open();
        Assert.True(second.Health.Ok);
    }

    [Fact]
    public async Task A_folder_that_is_not_there_is_created()
    {
        var path = Path.Combine(_bench.Folder, "new", "deep", "runs.db");
        await using var archive = RunArchive.Open(path, TimeProvider.System, Microsoft.Extensions.Logging.Abstractions.NullLogger<RunArchive>.Instance);

        Assert.Empty(archive.Check());
    }

    [Fact(Timeout = 30000)]
    public async Task The_file_keeps_a_write_ahead_log_and_health_tells_its_size()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using var archive = _bench.Open();
        Assert.Null(archive.Health.SecondsSinceCommit);
        await archive.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);

        using var stranger = _bench.Stranger();
        Assert.Equal("wal", ArchiveBench.Ask(stranger, "PRAGMA journal_mode"));
        var health = archive.Health;
        Assert.True(health.Ok);
        Assert.True(health.WalBytes > 0);
        Assert.Equal(0, health.QueueDepth);
        Assert.InRange(health.SecondsSinceCommit!.Value, 0, 30);
        Assert.True(health.FreeBytes > 0);
    }

    [Theory]
    [InlineData("/srv/lab/archive", "nfs4")]
    [InlineData("/srv/lab", "nfs4")]
    [InlineData("/srv/labour", null)]
    [InlineData("/mnt/my share/archive", "cifs")]
    [InlineData("/home/lab/remote/archive", "fuse.sshfs")]
    [InlineData("/srv/lab/local/archive", null)]
    [InlineData("/var/lib/acquire", null)]
    [InlineData("/usb", null)]
    public void A_network_file_system_is_recognised_by_the_mount_that_holds_the_path(string path, string? type)
    {
        const string Mounts = """
            /dev/sda1 / ext4 rw,relatime 0 0
            server:/lab /srv/lab nfs4 rw 0 0
            /dev/sdb1 /srv/lab/local ext4 rw 0 0
            //server/share /mnt/my\040share cifs rw 0 0
            lab@server: /home/lab/remote fuse.sshfs rw 0 0
            /dev/sdc1 /usb fuseblk rw 0 0
            """;

        Assert.Equal(type, ArchiveLocation.NetworkTypeOf(Mounts, path));
    }

    [Fact]
    public void Options_out_of_range_are_named()
    {
        var error = Assert.Throws<ArgumentOutOfRangeException>(() => _bench.Open(new ArchiveOptions { CommitInterval = TimeSpan.FromSeconds(2) }));

        Assert.Contains("CommitInterval must lie within 10 and 1000", error.Message, StringComparison.Ordinal);
    }
}
