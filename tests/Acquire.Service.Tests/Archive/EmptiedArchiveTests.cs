using Acquire.Service.Archive;
using Acquire.Service.Archive.Chain;
using Acquire.Service.CommandLine;
using Acquire.Service.CommandLine.Archiving;
using Acquire.Service.Tests.CommandLine;
using Xunit;

namespace Acquire.Service.Tests.Archive;

/// <summary>Somebody, or a tool, has put a file of 0 bytes in the place of an archive.</summary>
public sealed class EmptiedArchiveTests : IDisposable
{
    private readonly ArchiveBench _bench = new();

    public void Dispose() => _bench.Dispose();

    private async Task<ArchiveHead> EmptiedAsync(CancellationToken cancelled, bool withLog = false)
    {
        ArchiveHead head;
        await using (var archive = _bench.Open())
        {
            await archive.BeginRunAsync(ArchiveBench.Header("r-1"), cancelled);
            head = ArchiveVerifier.Verify(_bench.Path).Head!;
        }

        await File.WriteAllBytesAsync(_bench.Path, [], cancelled);
        if (withLog)
        {
            File.Delete(_bench.Path + ".lock");
            await File.WriteAllBytesAsync(_bench.Path + "-wal", new byte[4152], cancelled);
        }

        return head;
    }

    [Fact(Timeout = 30000)]
    public async Task Verify_calls_it_not_sound_and_empty_with_a_head_and_without()
    {
        var head = await EmptiedAsync(TestContext.Current.CancellationToken);

        var alone = ArchiveVerifier.Verify(_bench.Path);
        var witnessed = ArchiveVerifier.Verify(_bench.Path, head);

        Assert.Contains("empty, 0 bytes long", Assert.Single(alone.Faults).ToString(), StringComparison.Ordinal);
        Assert.Equal(2, witnessed.Faults.Count);
        Assert.Contains("records are missing", witnessed.Faults[1].ToString(), StringComparison.Ordinal);
        var ran = Ran.Command(VerifyCommand.Build(), "--data", _bench.Folder);
        Assert.Equal((ExitCode.Failed, 0), (ran.Code, new FileInfo(_bench.Path).Length));
        Assert.Contains("NOT SOUND", ran.Output, StringComparison.Ordinal);
    }

    [Fact(Timeout = 30000)]
    public async Task No_start_begins_a_new_archive_over_it()
    {
        await EmptiedAsync(TestContext.Current.CancellationToken);

        var refused = Assert.Throws<ArchiveRefusedException>(() => _bench.Open());

        Assert.Contains("runs.db.lock says that there was one", refused.Message, StringComparison.Ordinal);
        Assert.Equal(0, new FileInfo(_bench.Path).Length);
    }

    [Fact(Timeout = 30000)]
    public async Task The_log_that_stands_beside_it_is_not_thrown_away()
    {
        await EmptiedAsync(TestContext.Current.CancellationToken, withLog: true);

        var refused = Assert.Throws<ArchiveRefusedException>(() => _bench.Open());
        _ = ArchiveVerifier.Verify(_bench.Path);

        Assert.Contains("runs.db-wal holds the newest records", refused.Message, StringComparison.Ordinal);
        Assert.Equal(4152, new FileInfo(_bench.Path + "-wal").Length);
    }

    [Fact(Timeout = 30000)]
    public async Task Where_nothing_else_is_there_an_empty_file_is_what_a_start_had_left_before_its_first_commit()
    {
        await File.WriteAllBytesAsync(_bench.Path, [], TestContext.Current.CancellationToken);

        await using var archive = _bench.Open();

        Assert.Empty(archive.OpenRuns());
    }
}
