using System.Text.Json.Nodes;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Core.Thermometry;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Chain;
using Microsoft.Data.Sqlite;
using Xunit;

namespace Acquire.Service.Tests.Archive;

/// <summary>An archive of an earlier version, made without the code under test, opened by this program.</summary>
public sealed class OldArchiveTests : IDisposable
{
    // The tables of version 1 as they were first written, kept apart from those in the program on purpose.
    private const string TablesOfVersion1 = """
        PRAGMA journal_mode = WAL;
        BEGIN IMMEDIATE;
        CREATE TABLE runs (number INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE, tester_id TEXT NOT NULL, specimen TEXT NOT NULL, method_id TEXT NOT NULL,
            expected_flash_celsius REAL NOT NULL, source TEXT NOT NULL, software_version TEXT NOT NULL, started_at_utc TEXT NOT NULL, closed_at_utc TEXT,
            interrupted_at_utc TEXT, verdict TEXT, reported_flash_celsius REAL, reported_fire_celsius REAL, result TEXT, plan TEXT NOT NULL) STRICT;
        CREATE INDEX runs_by_tester ON runs (tester_id, number);
        CREATE INDEX runs_open ON runs (number) WHERE closed_at_utc IS NULL AND interrupted_at_utc IS NULL;
        CREATE TABLE events (run INTEGER NOT NULL REFERENCES runs (number), sequence INTEGER NOT NULL, at_seconds REAL NOT NULL, kind TEXT NOT NULL, body TEXT NOT NULL,
            PRIMARY KEY (run, sequence)) STRICT, WITHOUT ROWID;
        CREATE TABLE chunks (run INTEGER NOT NULL REFERENCES runs (number), chunk INTEGER NOT NULL, first_row INTEGER NOT NULL, row_count INTEGER NOT NULL CHECK (row_count > 0),
            first_seconds REAL NOT NULL, last_seconds REAL NOT NULL, body BLOB NOT NULL, PRIMARY KEY (run, chunk)) STRICT;
        CREATE TABLE probe (at_utc TEXT NOT NULL, filler BLOB NOT NULL) STRICT;
        PRAGMA application_id = 0x41637172;
        PRAGMA user_version = 1;
        COMMIT;
        """;

    // What version 3 added to them, likewise.
    private const string ColumnsOfVersion3 =
        "ALTER TABLE runs ADD COLUMN scouting INTEGER NOT NULL DEFAULT 0; ALTER TABLE runs ADD COLUMN specification_celsius REAL; PRAGMA user_version = 3;";

    private readonly ArchiveBench _bench = new();

    public void Dispose() => _bench.Dispose();

    [Fact]
    public async Task It_is_read_whole_and_marked_so_that_an_older_program_refuses_it()
    {
        MakeOld();

        await using var archive = _bench.Open();

        var run = archive.FindRun("old")!;
        Assert.Equal(ThermometerChain.Plain, run.Plan.Thermometer);
        Assert.Null(run.Plan.MadeOn);
        Assert.Equivalent(ArchiveBench.Plan, run.Plan, strict: true);
        Assert.Equal(new FlashDetected(4, 221.4, 3), Assert.Single(run.Events));
        ArchiveBench.AssertSameBits(OldRows.Expected, archive.ReadRows("old"));
        Assert.Empty(archive.Check());
        Assert.Empty(ArchiveVerifier.Verify(_bench.Path).Faults);
        using var stranger = _bench.Stranger();
        Assert.Equal(6L, ArchiveBench.Ask(stranger, "PRAGMA user_version"));
    }

    [Fact(Timeout = 30000)]
    public async Task One_of_version_3_is_read_whole_and_takes_runs_with_a_second_detector()
    {
        var cancel = TestContext.Current.CancellationToken;
        MakeOld();
        using (var connection = _bench.Stranger(writes: true))
        {
            ArchiveBench.Ask(connection, ColumnsOfVersion3);
            Put(connection, "UPDATE chunks SET body = $body", ("$body", OldRows.PackedBenchChunk));
        }

        ReadingRow[] rows = [.. ArchiveBench.PlausibleSignalRun(700).Select((row, i) => row with { Present = row.Present | RowChannels.SecondDetector, SecondDetector = 14.2 + (0.01 * i) })];
        await using (var archive = _bench.Open())
        {
            await archive.BeginRunAsync(ArchiveBench.Header("new"), cancel);
            await archive.AppendRowsAsync("new", rows, cancel);
            await archive.CloseRunAsync("new", ArchiveBench.Start, ArchiveBench.Result, cancel);
        }

        await using var again = _bench.Open();
        ArchiveBench.AssertSameBits(rows, again.ReadRows("new"));
        ArchiveBench.AssertSameBits(OldRows.ExpectedBench, again.ReadRows("old"));
        Assert.Empty(again.Check());
        using var stranger = _bench.Stranger();
        Assert.Equal(OldRows.PackedBenchChunk, ArchiveBench.Ask(stranger, "SELECT body FROM chunks WHERE run = 1"));
        Assert.Equal(6L, ArchiveBench.Ask(stranger, "PRAGMA user_version"));
    }

    [Fact(Timeout = 30000)]
    public async Task It_takes_new_runs_with_signals_and_its_old_ones_stay_as_they_were()
    {
        var cancel = TestContext.Current.CancellationToken;
        MakeOld();
        var rows = ArchiveBench.PlausibleSignalRun(700);
        await using (var archive = _bench.Open())
        {
            await archive.BeginRunAsync(ArchiveBench.Header("new") with { Plan = ArchiveBench.Plan with { Thermometer = ArchiveBench.Thermocouple } }, cancel);
            await archive.AppendRowsAsync("new", rows, cancel);
            await archive.CloseRunAsync("new", ArchiveBench.Start, ArchiveBench.Result, cancel);
        }

        await using var again = _bench.Open();
        ArchiveBench.AssertSameBits(rows, again.ReadRows("new"));
        ArchiveBench.AssertSameBits(OldRows.Expected, again.ReadRows("old"));
        Assert.Empty(again.Check());
        using var stranger = _bench.Stranger();
        Assert.Equal(OldRows.PackedChunk, ArchiveBench.Ask(stranger, "SELECT body FROM chunks WHERE run = 1"));
    }

    [Fact(Timeout = 30000)]
    public async Task It_is_copied_before_it_is_taken_over_and_all_of_it_gets_its_place_in_the_chain()
    {
        TestContext.Current.CancellationToken.ThrowIfCancellationRequested();
        MakeOld();

        await _bench.Open().DisposeAsync();

        using (var copy = new SqliteConnection($"Data Source={_bench.Path}.version-1;Mode=ReadOnly;Pooling=False"))
        {
            copy.Open();
            Assert.Equal(1L, ArchiveBench.Ask(copy, "PRAGMA user_version"));
            Assert.Equal(OldRows.PackedChunk, ArchiveBench.Ask(copy, "SELECT body FROM chunks WHERE run = 1"));
            Assert.Equal(0L, ArchiveBench.Ask(copy, "SELECT count(*) FROM sqlite_schema WHERE name = 'chain'"));
        }

        var found = ArchiveVerifier.Verify(_bench.Path);
        Assert.Empty(found.Faults);
        Assert.Equal((1, 1, 1, 1), (found.Records["header"], found.Records["event"], found.Records["chunk"], found.Records["closing"]));
        Assert.Contains(found.NotProved, text => text.Contains("taken over from content of version 1", StringComparison.Ordinal));
        using (var stranger = _bench.Stranger(writes: true))
        {
            ArchiveBench.Ask(stranger, "UPDATE events SET at_seconds = 5");
        }

        Assert.Equal("run 'old', event 0: altered: it is not what was written, or stands in another's place", Assert.Single(ArchiveVerifier.Verify(_bench.Path).Faults).ToString());
    }

    [Fact(Timeout = 30000)]
    public async Task Where_it_cannot_be_copied_it_is_refused_and_left_as_it_is()
    {
        var cancel = TestContext.Current.CancellationToken;
        MakeOld();
        Directory.CreateDirectory(_bench.Path + ".version-1.partial");
        var before = await File.ReadAllBytesAsync(_bench.Path, cancel);

        var refusal = Assert.Throws<ArchiveRefusedException>(() => _bench.Open());

        Assert.Contains("Nothing was changed", refusal.Message, StringComparison.Ordinal);
        Assert.Equal(before, await File.ReadAllBytesAsync(_bench.Path, cancel));
        using var stranger = _bench.Stranger();
        Assert.Equal(1L, ArchiveBench.Ask(stranger, "PRAGMA user_version"));
    }

    [Fact(Timeout = 30000)]
    public async Task One_of_version_5_is_verified_as_it_is_and_taken_over_without_a_new_chain()
    {
        var cancel = TestContext.Current.CancellationToken;
        await using (var archive = _bench.Open())
        {
            await archive.BeginRunAsync(ArchiveBench.Header("r-1"), cancel);
            await archive.AppendEventsAsync("r-1", ArchiveBench.EveryFact, cancel);
            await archive.CloseRunAsync("r-1", ArchiveBench.Start, ArchiveBench.Result, cancel);
        }

        using (var stranger = _bench.Stranger(writes: true))
        {
            ArchiveBench.Ask(stranger, ArchiveBench.BackToVersion5);
        }

        var head = ArchiveHead.ReadFrom(_bench.Path);
        Assert.Empty(ArchiveVerifier.Verify(_bench.Path, head).Faults);
        await using (var archive = _bench.Open())
        {
            await archive.HoldAsync("r-1", new(1, ArchiveBench.Start, "Ada", true, "asked for"), cancel);
            Assert.True(archive.FindRun("r-1")!.Audit.OnHold);
        }

        Assert.Empty(ArchiveVerifier.Verify(_bench.Path, head).Faults);
        Assert.Empty(ArchiveVerifier.Verify(_bench.Path + ".version-5", head).Faults);
    }

    [Fact(Timeout = 30000)]
    public async Task One_that_is_marked_as_older_than_its_chain_is_refused()
    {
        TestContext.Current.CancellationToken.ThrowIfCancellationRequested();
        await _bench.Open().DisposeAsync();
        using (var stranger = _bench.Stranger(writes: true))
        {
            ArchiveBench.Ask(stranger, "PRAGMA user_version = 4");
        }

        Assert.Contains("Somebody has changed it", Assert.Throws<ArchiveRefusedException>(() => _bench.Open()).Message, StringComparison.Ordinal);
    }

    private void MakeOld()
    {
        using var connection = _bench.Stranger(writes: true);
        ArchiveBench.Ask(connection, TablesOfVersion1);
        Put(
            connection,
            """
            INSERT INTO runs (id, tester_id, specimen, method_id, expected_flash_celsius, source, software_version, started_at_utc, closed_at_utc, plan)
            VALUES ('old', 'bench-1', 'Oil A', $method, 220, 'serial', '0.1.0', '2026-03-02T09:30:15.1230000Z', '2026-03-02T09:50:00.0000000Z', $plan)
            """,
            ("$method", ArchiveBench.Plan.Method.Id),
            ("$plan", PlanOfVersion1()));
        Put(connection, """INSERT INTO events VALUES (1, 0, 4, 'flash-detected', '{"kind":"flash-detected","atSeconds":4,"temperatureCelsius":221.4,"applicationNumber":3}')""");
        Put(connection, "INSERT INTO chunks VALUES (1, 0, 0, 40, 0, 0.78, $body)", ("$body", OldRows.PackedChunk));
    }

    // A plan before there were thermometers in it.
    private static string PlanOfVersion1()
    {
        var plan = JsonNode.Parse(ArchiveJson.Write(ArchiveBench.Plan))!.AsObject();
        Assert.True(plan.Remove("thermometer"));
        Assert.True(plan.Remove("madeOn"));
        return plan.ToJsonString();
    }

    private static void Put(SqliteConnection connection, string sql, params (string Name, object Value)[] values)
    {
        using var command = connection.CreateCommand();
        command.CommandText = sql;
        foreach (var (name, value) in values)
        {
            command.Parameters.AddWithValue(name, value);
        }

        command.ExecuteNonQuery();
    }
}
