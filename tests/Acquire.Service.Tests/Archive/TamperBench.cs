using Acquire.Service.Archive;
using Acquire.Service.Archive.Chain;
using Acquire.Service.Archive.Corrections;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Tests.Archive;

/// <summary>An archive with a record of every kind, and copies of it for somebody to tamper with.</summary>
internal sealed class TamperBench : IDisposable
{
    private readonly ArchiveBench _bench = new();
    private int _copies;

    public string Path => _bench.Path;

    public string Folder => _bench.Folder;

    /// <summary>A closed run `r-1` of 250 rows in chunks of 100 with one of every fact, twice corrected and approved, `r-2`, which nobody closed, and `p-1`, which was held, released and pruned unless the test says otherwise.</summary>
    public async Task<TamperBench> FillAsync(CancellationToken cancel, bool pruned = true)
    {
        await using (var archive = _bench.Open(new ArchiveOptions { ChunkRows = 100 }))
        {
            await archive.BeginRunAsync(ArchiveBench.Header("r-1") with { Plan = ArchiveBench.Plan with { SpecificationCelsius = 200 } }, cancel);
            await archive.AppendRowsAsync("r-1", ArchiveBench.PlausibleRun(250), cancel);
            await archive.AppendEventsAsync("r-1", ArchiveBench.EveryFact, cancel);
            await archive.CloseRunAsync("r-1", ArchiveBench.Start, ArchiveBench.Result, cancel);
            var first = new RunCorrection(1, ArchiveBench.Start, "Ada", CorrectedField.StationPressure, null, "98.7", "read from the barometer's log");
            await archive.CorrectAsync("r-1", first, new LaterResult(1, 1, ArchiveBench.Start, "0.1.0", true, ArchiveBench.Result), cancel);
            await archive.CorrectAsync("r-1", new(2, ArchiveBench.Start, "Ada", CorrectedField.Remark, "foamed", "foamed a little", "misread"), null, cancel);
            await archive.ApproveAsync("r-1", new(1, ArchiveBench.Start, "Bea", 2), cancel);
            await archive.BeginRunAsync(ArchiveBench.Header("r-2"), cancel);
            await archive.AppendRowsAsync("r-2", ArchiveBench.PlausibleRun(130), cancel);
            await archive.AppendEventsAsync("r-2", ArchiveBench.EveryFact, cancel);
            if (pruned)
            {
                await PruneAsync(archive, cancel);
            }
        }

        await _bench.Open().DisposeAsync();
        return this;
    }

    private static async Task PruneAsync(RunArchive archive, CancellationToken cancel)
    {
        await archive.BeginRunAsync(ArchiveBench.Header("p-1"), cancel);
        await archive.AppendRowsAsync("p-1", ArchiveBench.PlausibleRun(120), cancel);
        await archive.CloseRunAsync("p-1", ArchiveBench.Start, ArchiveBench.Result, cancel);
        await archive.HoldAsync("p-1", new(1, ArchiveBench.Start, "Ada", true, "asked for by the customer"), cancel);
        await archive.HoldAsync("p-1", new(2, ArchiveBench.Start, "Ada", false, "answered"), cancel);
        await archive.PruneAsync(new("p-1", ArchiveBench.Start, "Bea", "older than ten years", "bench-1", "astm-d92-18", ArchiveBench.Start, ArchiveBench.Start, "doubtful", 0, "4 00ff"), cancel);
    }

    public RunArchive Open() => _bench.Open(new ArchiveOptions { ChunkRows = 100 });

    /// <summary>A copy of the closed archive, changed by statements of somebody who writes past the service.</summary>
    public string Tampered(string sql)
    {
        var copy = Copy();
        using var stranger = Stranger(copy);
        ArchiveBench.Ask(stranger, sql);
        return copy;
    }

    public string Copy()
    {
        var copy = System.IO.Path.Combine(_bench.Folder, $"copy-{++_copies}.db");
        File.Copy(_bench.Path, copy);
        return copy;
    }

    /// <summary>Rules of the tables are no hindrance to somebody who tampers.</summary>
    public static SqliteConnection Stranger(string path)
    {
        var connection = new SqliteConnection(new SqliteConnectionStringBuilder { DataSource = path, Mode = SqliteOpenMode.ReadWrite, Pooling = false, ForeignKeys = false }.ConnectionString);
        connection.Open();
        ArchiveBench.Ask(connection, "PRAGMA ignore_check_constraints = 1");
        return connection;
    }

    /// <summary>The faults of a tampered copy, a line each.</summary>
    public string[] Faults(string sql, ArchiveHead? head = null) => [.. ArchiveVerifier.Verify(Tampered(sql), head).Faults.Select(fault => fault.ToString())];

    public void Dispose() => _bench.Dispose();
}
