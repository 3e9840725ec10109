using Acquire.Service.Archive.Chain;
using Acquire.Service.Archive.Database;
using Microsoft.Data.Sqlite;
using Xunit;

namespace Acquire.Service.Tests.Archive;

public sealed class ArchiveTamperTests : IDisposable
{
    // Every table but the one that only tries whether the disk takes writes; of each a row, and the record that it must be named as.
    private static readonly (string Table, string Where, string Name)[] Rows =
    [
        ("runs", "number = 1", "header"),
        ("events", "run = 1 AND sequence = 3", "run 'r-1', event 3"),
        ("events", "run = 2 AND sequence = 18", "run 'r-2', event 18"),
        ("chunks", "run = 1 AND chunk = 1", "run 'r-1', chunk 1"),
        ("chunks", "run = 2 AND chunk = 1", "run 'r-2', chunk 1"),
        ("corrections", "run = 1 AND number = 1", "run 'r-1', correction 1"),
        ("corrections", "run = 1 AND number = 2", "run 'r-1', correction 2"),
        ("results", "run = 1 AND number = 1", "run 'r-1', result 1"),
        ("approvals", "run = 1 AND number = 1", "run 'r-1', approval 1"),
        ("holds", "run = 3 AND number = 1", "run 'p-1', hold 1"),
        ("prunings", "run = 3", "pruning"),
        ("chain", "link = 7", "event"),
        ("chain", "link = 0", "start"),
        ("chain_start", "1", "start"),
    ];

    private readonly TamperBench _bench = new();

    public void Dispose() => _bench.Dispose();

    [Fact(Timeout = 120000)]
    public async Task A_sound_archive_is_sound_and_says_what_is_not_proved()
    {
        await _bench.FillAsync(TestContext.Current.CancellationToken);

        var found = ArchiveVerifier.Verify(_bench.Path);

        Assert.Empty(found.Faults);
        Assert.Equal(2, found.Records["header"]);
        Assert.Equal(2 * ArchiveBench.EveryFact.Count, found.Records["event"]);
        Assert.Equal(3 + 2, found.Records["chunk"]);
        Assert.Equal(1, found.Records["closing"]);
        Assert.Equal(1, found.Records["interruption"]);
        Assert.Equal((2, 1, 1), (found.Records["correction"], found.Records["result"], found.Records["approval"]));
        Assert.Equal((2, 1), (found.Records["hold"], found.Records["pruning"]));
        Assert.Contains(found.NotProved, text => text.Contains("4 records of 1 runs that were pruned", StringComparison.Ordinal));
        Assert.Contains(found.NotProved, text => text.Contains("compute the whole chain anew", StringComparison.Ordinal));
    }

    [Fact(Timeout = 120000)]
    public async Task A_change_in_any_column_of_any_table_is_found_and_the_record_named()
    {
        await _bench.FillAsync(TestContext.Current.CancellationToken);
        var missed = new List<string>();
        var changes = 0;
        foreach (var (table, where, name) in Rows)
        {
            foreach (var column in Columns(table))
            {
                var copy = _bench.Copy();
                Flip(copy, table, column, where);
                var faults = ArchiveVerifier.Verify(copy).Faults.Select(fault => fault.ToString()).ToArray();
                changes++;
                if (!faults.Any(fault => fault.Contains(name, StringComparison.Ordinal) || (table == "runs" && IsEndOf(fault, column)) || (column == "link" && fault.Contains($"{where.Replace(" =", "", StringComparison.Ordinal)}: missing", StringComparison.Ordinal))))
                {
                    missed.Add($"{table}.{column} where {where}: {string.Join("; ", faults)}");
                }
            }
        }

        Assert.Empty(missed);
        Assert.True(changes > 70, $"only {changes} columns were changed");
    }

    [Theory]
    [InlineData("DELETE FROM events WHERE run = 1 AND sequence = 18", "run 'r-1', event 18: missing")]
    [InlineData("DELETE FROM events WHERE run = 1 AND sequence = 4", "run 'r-1', event 4: missing")]
    [InlineData("DELETE FROM chunks WHERE run = 1 AND chunk = 2", "run 'r-1', chunk 2: missing")]
    [InlineData("DELETE FROM runs WHERE number = 2", "run 'number 2, whose header is gone', header: missing")]
    [InlineData("UPDATE runs SET closed_at_utc = NULL, verdict = NULL, reported_flash_celsius = NULL, reported_fire_celsius = NULL, result = NULL WHERE number = 1", "run 'r-1', closing: missing")]
    [InlineData("UPDATE runs SET interrupted_at_utc = NULL WHERE number = 2", "run 'r-2', interruption: missing")]
    [InlineData("DELETE FROM corrections WHERE run = 1 AND number = 2", "run 'r-1', correction 2: missing")]
    [InlineData("DELETE FROM results", "run 'r-1', result 1: missing")]
    [InlineData("DELETE FROM approvals", "run 'r-1', approval 1: missing")]
    [InlineData("DELETE FROM holds WHERE number = 2", "run 'p-1', hold 2: missing")]
    [InlineData("DELETE FROM prunings", "run 'number 3, whose header is gone', chunk 1: missing")]
    [InlineData("DELETE FROM chain_start", "start: missing")]
    [InlineData("DELETE FROM chain WHERE link = 5", "link 5: missing from the chain")]
    [InlineData("DELETE FROM chain WHERE link BETWEEN 5 AND 7", "links 5 to 7: missing from the chain")]
    [InlineData("DELETE FROM chain", "the chain: it is empty")]
    public async Task A_record_that_was_taken_away_is_named(string sql, string fault)
    {
        await _bench.FillAsync(TestContext.Current.CancellationToken);

        Assert.Contains(fault, string.Join('\n', _bench.Faults(sql)), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("INSERT INTO events VALUES (1, 22, 11, 'burn-ended', '{}')", "run 'r-1', event 22: inserted")]
    [InlineData("INSERT INTO events VALUES (1, -1, 11, 'burn-ended', '{}')", "run 'r-1', event -1: inserted")]
    [InlineData("INSERT INTO chunks SELECT run, 3, 250, row_count, first_seconds, last_seconds, body FROM chunks WHERE run = 1 AND chunk = 2", "run 'r-1', chunk 3: inserted")]
    [InlineData("INSERT INTO runs SELECT 4, 'r-3', tester_id, specimen, method_id, expected_flash_celsius, source, software_version, started_at_utc, NULL, NULL, NULL, NULL, NULL, NULL, plan, scouting, specification_celsius FROM runs WHERE number = 1", "run 'r-3', header: inserted")]
    [InlineData("UPDATE runs SET closed_at_utc = started_at_utc, verdict = 'valid', result = '{}' WHERE number = 2", "run 'r-2', closing: inserted")]
    [InlineData("UPDATE runs SET interrupted_at_utc = closed_at_utc WHERE number = 1", "run 'r-1', interruption: inserted")]
    [InlineData("INSERT INTO corrections VALUES (1, 3, '2026-03-02T09:30:15.1230000Z', 'Eve', 'specimen', 'a', 'b', 'c')", "run 'r-1', correction 3: inserted")]
    [InlineData("INSERT INTO results SELECT number, 2, 1, closed_at_utc, '1', 1, verdict, reported_flash_celsius, reported_fire_celsius, result FROM runs WHERE number = 1", "run 'r-1', result 2: inserted")]
    [InlineData("INSERT INTO approvals VALUES (1, 2, '2026-03-02T09:30:15.1230000Z', 'Eve', 0)", "run 'r-1', approval 2: inserted")]
    [InlineData("INSERT INTO holds VALUES (1, 1, '2026-03-02T09:30:15.1230000Z', 'Eve', 0, 'released')", "run 'r-1', hold 1: inserted")]
    [InlineData("INSERT INTO prunings SELECT 2, 'r-2', at_utc, person, reason, tester_id, method_id, started_at_utc, ended_at_utc, verdict, records, copy FROM prunings; DELETE FROM events WHERE run = 2", "run 'r-2', pruning: inserted")]
    [InlineData("INSERT INTO chunks SELECT 3, 0, 0, row_count, first_seconds, last_seconds, body FROM chunks WHERE run = 1 AND chunk = 0", "run 'p-1', chunk 0: it is there although its run was pruned")]
    [InlineData("INSERT INTO chain_start SELECT * FROM chain_start", "start: inserted")]
    [InlineData("INSERT INTO chain SELECT max(link) + 1, 3, 1, 99, record, digest FROM chain", "run 'r-1', event 99: missing")]
    [InlineData("INSERT INTO chain SELECT max(link) + 1, 77, 1, 99, record, digest FROM chain", "it is of the kind 77")]
    [InlineData("CREATE TRIGGER quiet AFTER INSERT ON events BEGIN DELETE FROM events WHERE kind = 'finding-raised'; END", "'quiet': a table, index, view or trigger")]
    public async Task A_record_that_was_put_in_is_named(string sql, string fault)
    {
        await _bench.FillAsync(TestContext.Current.CancellationToken);

        Assert.Contains(fault, string.Join('\n', _bench.Faults(sql)), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("UPDATE events SET sequence = -sequence - 1 WHERE run = 1 AND sequence IN (3, 4); UPDATE events SET sequence = 8 + sequence WHERE run = 1 AND sequence < 0", "event 3", "event 4")]
    [InlineData("UPDATE chunks SET chunk = -chunk - 1 WHERE run = 1 AND chunk IN (0, 1); UPDATE chunks SET chunk = 2 + chunk WHERE run = 1 AND chunk < 0", "chunk 0", "chunk 1")]
    [InlineData("UPDATE chunks SET run = run + 10 WHERE chunk = 1; UPDATE chunks SET run = 13 - run WHERE run > 10", "run 'r-1', chunk 1", "run 'r-2', chunk 1")]
    [InlineData("UPDATE corrections SET number = -number WHERE run = 1; UPDATE corrections SET number = 3 + number WHERE run = 1", "correction 1", "correction 2")]
    [InlineData("UPDATE chain SET link = -link WHERE link IN (6, 7); UPDATE chain SET link = 13 + link WHERE link < 0", "link 6", "link 7")]
    public async Task Two_records_that_were_swapped_are_both_named(string sql, string first, string second)
    {
        await _bench.FillAsync(TestContext.Current.CancellationToken);

        var faults = _bench.Faults(sql);

        Assert.Contains(faults, fault => fault.Contains(first, StringComparison.Ordinal));
        Assert.Contains(faults, fault => fault.Contains(second, StringComparison.Ordinal));
        Assert.InRange(faults.Length, 2, 3);
    }

    [Theory]
    [InlineData("UPDATE runs SET number = -number; UPDATE runs SET number = 3 + number")]
    [InlineData("UPDATE runs SET id = 'x' WHERE number = 1; UPDATE runs SET id = 'r-1' WHERE number = 2; UPDATE runs SET id = 'r-2' WHERE number = 1")]
    public async Task Two_runs_that_were_swapped_are_both_named(string sql)
    {
        await _bench.FillAsync(TestContext.Current.CancellationToken);

        var faults = _bench.Faults(sql);

        Assert.Contains(faults, fault => fault.StartsWith("run 'r-1', header: altered", StringComparison.Ordinal));
        Assert.Contains(faults, fault => fault.StartsWith("run 'r-2', header: altered", StringComparison.Ordinal));
    }

    [Fact(Timeout = 120000)]
    public async Task One_changed_record_is_one_fault_and_no_other_record_is_accused()
    {
        await _bench.FillAsync(TestContext.Current.CancellationToken);

        Assert.Equal(["run 'r-1', event 3: altered: it is not what was written, or stands in another's place"], _bench.Faults("UPDATE events SET at_seconds = 3 WHERE run = 1 AND sequence = 3"));
        Assert.Single(_bench.Faults("UPDATE chain SET digest = zeroblob(32) WHERE link = 9"));
        Assert.Single(_bench.Faults("UPDATE chain SET record = zeroblob(32) WHERE link = 9"));
    }

    [Fact(Timeout = 120000)]
    public async Task Thousands_of_faults_are_counted_and_not_all_listed()
    {
        await _bench.FillAsync(TestContext.Current.CancellationToken);
        var copy = _bench.Tampered("WITH RECURSIVE n(i) AS (SELECT 100 UNION ALL SELECT i + 1 FROM n WHERE i < 1599) INSERT INTO events SELECT 1, i, 0, 'x', '{}' FROM n");

        var found = ArchiveVerifier.Verify(copy);

        Assert.Equal((1000, 500L), (found.Faults.Count, found.FaultsLeftOut));
    }

    [Fact(Timeout = 120000)]
    public async Task Damaged_pages_are_told_as_damage_of_the_file()
    {
        var cancel = TestContext.Current.CancellationToken;
        await _bench.FillAsync(cancel);
        var bytes = await File.ReadAllBytesAsync(_bench.Path, cancel);
        bytes.AsSpan(4096).Fill(0x5A);
        await File.WriteAllBytesAsync(_bench.Path, bytes, cancel);

        Assert.Contains(ArchiveVerifier.Verify(_bench.Path).Faults, fault => fault.Record == "the database file");
    }

    [Fact(Timeout = 120000)]
    public async Task Whatever_byte_of_the_file_is_damaged_a_verification_ends_and_tells()
    {
        var cancel = TestContext.Current.CancellationToken;
        await _bench.FillAsync(cancel);
        var (bytes, copy, failed) = (await File.ReadAllBytesAsync(_bench.Path, cancel), _bench.Copy(), new List<string>());
        // Any seed does; it is fixed so that a failure comes again.
        var random = new Random(20261126);
        for (var round = 0; round < 400; round++)
        {
            var (at, bit) = (random.Next(bytes.Length), (byte)(1 << random.Next(8)));
            bytes[at] ^= bit;
            await File.WriteAllBytesAsync(copy, bytes, cancel);
            bytes[at] ^= bit;
            try
            {
                _ = ArchiveVerifier.Verify(copy).Sound;
            }
            catch (Acquire.Service.Archive.ArchiveRefusedException)
            {
                // Its first page: no archive any more, or one of another version.
            }
            catch (Exception exception)
            {
                failed.Add($"bit {bit} at {at}: {exception.GetType().Name}: {exception.Message} {exception.StackTrace!.Split('\n')[0]}");
            }
        }

        Assert.Empty(failed);
    }

    [Theory(Timeout = 120000)]
    [InlineData("DROP TABLE imports", "no such table: imports")]
    [InlineData("DROP TABLE events", "no such table: events")]
    [InlineData("DROP TABLE chain", "no such table: chain")]
    [InlineData("DROP TABLE chain_start", "no such table: chain_start")]
    [InlineData("ALTER TABLE approvals DROP COLUMN corrections", "no such column: t.corrections")]
    public async Task A_table_or_a_column_that_was_taken_away_is_told(string sql, string words)
    {
        await _bench.FillAsync(TestContext.Current.CancellationToken);

        Assert.Contains(words, string.Join('\n', _bench.Faults(sql)), StringComparison.Ordinal);
    }

    [Theory(Timeout = 120000)]
    [InlineData("DELETE FROM chain", "the chain")]
    [InlineData("UPDATE chain SET digest = x'00' WHERE link = (SELECT max(link) FROM chain)", "interruption")]
    [InlineData("UPDATE chain SET digest = zeroblob(32) WHERE link = (SELECT max(link) FROM chain)", "interruption")]
    public async Task The_record_goes_on_where_the_end_of_the_chain_was_spoilt_and_the_spoiling_stays_to_be_seen(string sql, string record)
    {
        var cancel = TestContext.Current.CancellationToken;
        await _bench.FillAsync(cancel);
        using (var stranger = TamperBench.Stranger(_bench.Path))
        {
            ArchiveBench.Ask(stranger, sql);
        }

        await using (var archive = _bench.Open())
        {
            await archive.BeginRunAsync(ArchiveBench.Header("r-3"), cancel);
            await archive.AppendEventsAsync("r-3", ArchiveBench.EveryFact, cancel);
            await archive.CloseRunAsync("r-3", ArchiveBench.Start, ArchiveBench.Result, cancel);
        }

        var faults = ArchiveVerifier.Verify(_bench.Path).Faults;
        Assert.Contains(faults, fault => fault.Record == record || (record == "the chain" && fault.ToString() == "start: inserted: it has no place in the chain"));
        Assert.DoesNotContain(faults, fault => fault.Run == "r-3" && fault.Record != "header");
    }

    [Theory(Timeout = 120000)]
    [InlineData("UPDATE runs SET interrupted_at_utc = NULL WHERE number = 2; INSERT INTO chunks SELECT 2, 2, 130, row_count, first_seconds, last_seconds, body FROM chunks WHERE run = 1 AND chunk = 2", "'r-2', interruption: altered", "'r-2', chunk 2: inserted")]
    [InlineData("UPDATE runs SET closed_at_utc = NULL, verdict = NULL, reported_flash_celsius = NULL, result = NULL WHERE number = 1", "'r-1', closing: missing", "'r-1', interruption: inserted")]
    [InlineData("DELETE FROM runs WHERE number = 2", "number 2, whose header is gone', header: missing", "number 2, whose header is gone', interruption: missing")]
    public async Task A_start_of_the_service_covers_no_tracks_and_its_next_run_is_kept(string sql, string first, string second)
    {
        var cancel = TestContext.Current.CancellationToken;
        await _bench.FillAsync(cancel);
        using (var stranger = TamperBench.Stranger(_bench.Path))
        {
            ArchiveBench.Ask(stranger, sql);
        }

        await using (var archive = _bench.Open())
        {
            await archive.BeginRunAsync(ArchiveBench.Header("r-3"), cancel);
            await archive.AppendRowsAsync("r-3", ArchiveBench.PlausibleRun(250), cancel);
            await archive.CloseRunAsync("r-3", ArchiveBench.Start, ArchiveBench.Result, cancel);
            ArchiveBench.AssertSameBits(ArchiveBench.PlausibleRun(250), archive.ReadRows("r-3"));
        }

        var faults = string.Join('\n', ArchiveVerifier.Verify(_bench.Path).Faults);
        Assert.Contains(first, faults, StringComparison.Ordinal);
        Assert.Contains(second, faults, StringComparison.Ordinal);
        Assert.DoesNotContain("r-3", faults, StringComparison.Ordinal);
    }

    private static bool IsEndOf(string fault, string column) => column switch
    {
        "interrupted_at_utc" => fault.Contains("'r-1', interruption: inserted", StringComparison.Ordinal),
        "closed_at_utc" or "verdict" or "result" or "reported_flash_celsius" or "reported_fire_celsius" => fault.Contains("'r-1', closing: altered", StringComparison.Ordinal),
        _ => false,
    };

    private static List<string> Columns(string table)
    {
        using var memory = new SqliteConnection("Data Source=:memory:");
        memory.Open();
        ArchiveSchema.CreateOrTakeOver(memory, "memory", ArchiveBench.Start);
        using var command = memory.CreateCommand();
        command.CommandText = $"SELECT name FROM pragma_table_info('{table}')";
        using var reader = command.ExecuteReader();
        var columns = new List<string>();
        while (reader.Read())
        {
            columns.Add(reader.GetString(0));
        }

        return columns;
    }

    // One bit of the last byte of text and bytes, the smallest step of a number; nothing becomes something.
    private static void Flip(string path, string table, string column, string where)
    {
        using var stranger = TamperBench.Stranger(path);
        using var read = stranger.CreateCommand();
        read.CommandText = $"SELECT {column}, (SELECT type FROM pragma_table_info('{table}') WHERE name = '{column}') FROM {table} WHERE {where}";
        object value;
        string type;
        using (var row = read.ExecuteReader())
        {
            Assert.True(row.Read(), $"{table} has no row where {where}");
            (value, type) = (row.GetValue(0), row.GetString(1));
        }

        using var write = stranger.CreateCommand();
        write.CommandText = $"UPDATE {table} SET {column} = $value WHERE {where}";
        write.Parameters.AddWithValue("$value", Flipped(value, type));
        Assert.Equal(1, write.ExecuteNonQuery());
    }

    private static object Flipped(object value, string type)
    {
        switch (value)
        {
            case DBNull:
                return type == "TEXT" ? "x" : 1.0;
            case long whole:
                return whole ^ 1024;
            case double number:
                return double.BitIncrement(number);
            case string text:
                return text[..^1] + (char)(text[^1] ^ 1);
            default:
                var bytes = (byte[])value;
                bytes[^1] ^= 1;
                return bytes;
        }
    }
}
