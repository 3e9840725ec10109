using Acquire.Service.Archive.Chain;
using Microsoft.Data.Sqlite;
using Xunit;

namespace Acquire.Service.Tests.Archive.Bundles;

/// <summary>Where a run came from is a record as every other.</summary>
public sealed class ImportRecordTests : IDisposable
{
    private readonly BundleBench _bench = new();

    public void Dispose() => _bench.Dispose();

    [Fact(Timeout = 60000)]
    public async Task A_change_in_any_column_of_an_import_is_found_and_the_record_named()
    {
        var cancel = TestContext.Current.CancellationToken;
        await _bench.FillAsync(PlayedRun.Small(), cancel);
        await BundleBench.ImportAsync(_bench.There, BundleBench.Export(_bench.Here), cancel);
        foreach (var column in RecordKind.Import.Columns)
        {
            // A number one more, a text or bytes with one more behind, something where there was nothing.
            var faults = Faults($"UPDATE imports SET {column} = CASE typeof({column}) WHEN 'integer' THEN {column} + 1 WHEN 'text' THEN {column} || 'x' WHEN 'blob' THEN CAST({column} || x'00' AS BLOB) ELSE 'x' END");

            Assert.Contains(faults, fault => fault.StartsWith($"run '{BundleBench.Run}', import 1: ", StringComparison.Ordinal));
        }

        Assert.Contains($"run '{BundleBench.Run}', import 1: missing", Faults("DELETE FROM imports"));
        Assert.Contains($"run '{BundleBench.Run}', import 2: inserted: it has no place in the chain", Faults($"INSERT INTO imports SELECT run, 2, {string.Join(", ", RecordKind.Import.Columns.Skip(2))} FROM imports"));
        Assert.Contains(Faults($"UPDATE events SET at_seconds = 99 WHERE sequence = 1"), fault => fault.StartsWith($"run '{BundleBench.Run}', event 1: altered", StringComparison.Ordinal));
    }

    [Fact(Timeout = 60000)]
    public async Task An_archive_of_version_5_takes_imports_and_its_chain_goes_on()
    {
        var cancel = TestContext.Current.CancellationToken;
        await _bench.FillAsync(PlayedRun.Small(), cancel);
        await using (var older = _bench.There.Open())
        {
            await older.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);
            await older.CloseRunAsync("r-1", ArchiveBench.Start, ArchiveBench.Result, cancel);
        }

        using (var stranger = _bench.There.Stranger(writes: true))
        {
            ArchiveBench.Ask(stranger, ArchiveBench.BackToVersion5);
        }

        var head = ArchiveHead.ReadFrom(_bench.There.Path);
        Assert.Empty(ArchiveVerifier.Verify(_bench.There.Path, head).Faults);

        await BundleBench.ImportAsync(_bench.There, BundleBench.Export(_bench.Here), cancel);

        Assert.Empty(ArchiveVerifier.Verify(_bench.There.Path, head).Faults);
        Assert.Empty(ArchiveVerifier.Verify(_bench.There.Path + ".version-5", head).Faults);
    }

    private string[] Faults(string sql)
    {
        var copy = Path.Combine(_bench.There.Folder, "tampered.db");
        File.Copy(_bench.There.Path, copy, overwrite: true);
        using (var stranger = new SqliteConnection(new SqliteConnectionStringBuilder { DataSource = copy, Mode = SqliteOpenMode.ReadWrite, Pooling = false, ForeignKeys = false }.ConnectionString))
        {
            stranger.Open();
            ArchiveBench.Ask(stranger, sql);
        }

        return [.. ArchiveVerifier.Verify(copy).Faults.Select(fault => fault.ToString())];
    }
}
