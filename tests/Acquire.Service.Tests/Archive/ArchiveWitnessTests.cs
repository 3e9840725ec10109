using Acquire.Service.Archive.Chain;
using Xunit;

namespace Acquire.Service.Tests.Archive;

/// <summary>What only a head that somebody else keeps can show.</summary>
public sealed class ArchiveWitnessTests : IDisposable
{
    private readonly TamperBench _bench = new();

    public void Dispose() => _bench.Dispose();

    [Fact(Timeout = 120000)]
    public async Task An_older_copy_of_the_file_in_its_place_is_found()
    {
        var cancel = TestContext.Current.CancellationToken;
        await _bench.FillAsync(cancel);
        var older = _bench.Copy();
        await using (var archive = _bench.Open())
        {
            await archive.BeginRunAsync(ArchiveBench.Header("r-3"), cancel);
            await archive.CloseRunAsync("r-3", ArchiveBench.Start, ArchiveBench.Result, cancel);
        }

        var head = ArchiveHead.ReadFrom(_bench.Path);

        Assert.Empty(ArchiveVerifier.Verify(older).Faults);
        Assert.Empty(ArchiveVerifier.Verify(_bench.Path, head).Faults);
        Assert.Contains("the newest 2 records are missing", Assert.Single(ArchiveVerifier.Verify(older, head).Faults).Text, StringComparison.Ordinal);
    }

    [Fact(Timeout = 120000)]
    public async Task A_tail_that_was_taken_away_whole_is_found_only_with_a_head()
    {
        await _bench.FillAsync(TestContext.Current.CancellationToken);
        var head = ArchiveHead.ReadFrom(_bench.Path);
        const string Sql = "UPDATE runs SET interrupted_at_utc = NULL WHERE number = 2; DELETE FROM chain WHERE kind = 6; DELETE FROM chain WHERE link = (SELECT max(link) FROM chain)";

        Assert.Empty(_bench.Faults(Sql));
        Assert.Contains("records are missing", Assert.Single(_bench.Faults(Sql, head)), StringComparison.Ordinal);
    }

    [Fact(Timeout = 120000)]
    public async Task A_chain_that_was_computed_anew_is_found_only_with_a_head()
    {
        await _bench.FillAsync(TestContext.Current.CancellationToken, pruned: false);
        var head = ArchiveHead.ReadFrom(_bench.Path);
        var forged = _bench.Tampered("UPDATE events SET at_seconds = 3.5 WHERE run = 1 AND sequence = 3");
        Forge(forged);

        Assert.Empty(ArchiveVerifier.Verify(forged).Faults);
        Assert.Contains("was written anew", Assert.Single(ArchiveVerifier.Verify(forged, head).Faults).Text, StringComparison.Ordinal);
    }

    [Fact(Timeout = 120000)]
    public async Task The_head_of_another_archive_is_told()
    {
        await _bench.FillAsync(TestContext.Current.CancellationToken);
        using var other = new ArchiveBench();
        await other.Open().DisposeAsync();

        var fault = Assert.Single(ArchiveVerifier.Verify(_bench.Path, ArchiveHead.ReadFrom(other.Path)).Faults);

        Assert.Contains("another archive", fault.Text, StringComparison.Ordinal);
    }

    [Fact(Timeout = 120000)]
    public async Task An_earlier_head_still_fits_when_the_archive_has_gone_on()
    {
        var cancel = TestContext.Current.CancellationToken;
        await _bench.FillAsync(cancel);
        var head = ArchiveHead.ReadFrom(_bench.Path);
        await using var archive = _bench.Open();
        await archive.BeginRunAsync(ArchiveBench.Header("r-3"), cancel);
        await archive.AppendRowsAsync("r-3", ArchiveBench.PlausibleRun(130), cancel);
        await archive.AppendEventsAsync("r-3", ArchiveBench.EveryFact, cancel);

        // The service has the archive open, and its newest chunk is still growing.
        var found = ArchiveVerifier.Verify(_bench.Path, head);

        Assert.Empty(found.Faults);
        Assert.Contains(found.NotProved, text => text.Contains("'r-3' is open: its newest readings, chunk 1,", StringComparison.Ordinal));
        Assert.True(found.Head!.Link > head.Link);
    }

    // What somebody with the program's source and the right to write can do.
    private static void Forge(string path)
    {
        using var connection = TamperBench.Stranger(path);
        var links = new List<(long Kind, long Run, long Part)>();
        using (var read = connection.CreateCommand())
        {
            read.CommandText = "SELECT kind, run, part FROM chain ORDER BY link";
            using var reader = read.ExecuteReader();
            while (reader.Read())
            {
                links.Add((reader.GetInt64(0), reader.GetInt64(1), reader.GetInt64(2)));
            }
        }

        ArchiveBench.Ask(connection, "DELETE FROM chain");
        using var chain = new ChainWriter(connection);
        foreach (var (kind, run, part) in links)
        {
            using var select = connection.CreateCommand();
            select.CommandText = RecordKind.Of(kind)!.Select;
            select.Parameters.AddWithValue("$run", run);
            select.Parameters.AddWithValue("$part", part);
            using var row = select.ExecuteReader();
            Assert.True(row.Read());
            chain.Append(RecordKind.Of(kind)!, run, part, row);
        }
    }
}
