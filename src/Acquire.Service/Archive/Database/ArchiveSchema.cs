using System.Globalization;
using Acquire.Service.Archive.Chain;
using Microsoft.Data.Sqlite;

namespace Acquire.Service.Archive.Database;

/// <summary>The tables of the archive, and how a file is recognised as one.</summary>
internal static class ArchiveSchema
{
    /// <summary>Version of the archive's content; a file with a higher one is refused, one with a lower one is taken over.</summary>
    /// <remarks>
    /// 1: the tables below, chunks of rows of version 1. 2: the same tables, chunks of version 1 or 2 and plans with a thermometer,
    /// which an older program would not read or, worse, would take for plain readings in °C. 3: the same tables, chunks of version 1 to 3,
    /// which an older program would take for damaged, and methods with figures that it would not judge by; runs that expect no flash point.
    /// 4: the same tables, chunks of version 1 to 4, which an older program would take for damaged.
    /// 5: the chain, in which every record has a place that an older program would not give it; corrections, the results that follow from them, approvals.
    /// 6: imports, holds and prunings, for which an older program would call an archive unsound that is not; facts of runs that go on, which it would call damaged.
    /// </remarks>
    public const int Version = 6;

    /// <summary>The oldest version with a chain.</summary>
    public const int ChainVersion = 5;

    // The letters "Acqr": says whose file it is to anyone who looks.
    private const int ApplicationId = 0x41637172;

    private const string Tables = """
        CREATE TABLE runs (
            number INTEGER PRIMARY KEY,
            id TEXT NOT NULL UNIQUE,
            tester_id TEXT NOT NULL,
            specimen TEXT NOT NULL,
            method_id TEXT NOT NULL,
            expected_flash_celsius REAL NOT NULL,
            source TEXT NOT NULL,
            software_version TEXT NOT NULL,
            started_at_utc TEXT NOT NULL,
            closed_at_utc TEXT,
            interrupted_at_utc TEXT,
            verdict TEXT,
            reported_flash_celsius REAL,
            reported_fire_celsius REAL,
            result TEXT,
            plan TEXT NOT NULL,
            scouting INTEGER NOT NULL DEFAULT 0,
            specification_celsius REAL
        ) STRICT;
        CREATE INDEX runs_by_tester ON runs (tester_id, number);
        CREATE INDEX runs_open ON runs (number) WHERE closed_at_utc IS NULL AND interrupted_at_utc IS NULL;
        CREATE TABLE events (
            run INTEGER NOT NULL REFERENCES runs (number),
            sequence INTEGER NOT NULL,
            at_seconds REAL NOT NULL,
            kind TEXT NOT NULL,
            body TEXT NOT NULL,
            PRIMARY KEY (run, sequence)
        ) STRICT, WITHOUT ROWID;
        CREATE TABLE chunks (
            run INTEGER NOT NULL REFERENCES runs (number),
            chunk INTEGER NOT NULL,
            first_row INTEGER NOT NULL,
            row_count INTEGER NOT NULL CHECK (row_count > 0),
            first_seconds REAL NOT NULL,
            last_seconds REAL NOT NULL,
            body BLOB NOT NULL,
            PRIMARY KEY (run, chunk)
        ) STRICT;
        CREATE TABLE probe (
            at_utc TEXT NOT NULL,
            filler BLOB NOT NULL
        ) STRICT;
        """;

    // Up to 2 every run had an expected flash point. The column stays as it is; where a run expects none it holds a 0 without a meaning.
    private const string Since3 = "ALTER TABLE runs ADD COLUMN scouting INTEGER NOT NULL DEFAULT 0; ALTER TABLE runs ADD COLUMN specification_celsius REAL;";

    private const string Since5 = """
        CREATE TABLE corrections (
            run INTEGER NOT NULL REFERENCES runs (number),
            number INTEGER NOT NULL,
            at_utc TEXT NOT NULL,
            person TEXT NOT NULL,
            field TEXT NOT NULL,
            old_value TEXT,
            new_value TEXT NOT NULL,
            reason TEXT NOT NULL,
            PRIMARY KEY (run, number)
        ) STRICT, WITHOUT ROWID;
        CREATE TABLE results (
            run INTEGER NOT NULL REFERENCES runs (number),
            number INTEGER NOT NULL,
            correction INTEGER NOT NULL,
            at_utc TEXT NOT NULL,
            software_version TEXT NOT NULL,
            repeats INTEGER NOT NULL,
            verdict TEXT NOT NULL,
            reported_flash_celsius REAL,
            reported_fire_celsius REAL,
            result TEXT NOT NULL,
            PRIMARY KEY (run, number)
        ) STRICT;
        CREATE TABLE approvals (
            run INTEGER NOT NULL REFERENCES runs (number),
            number INTEGER NOT NULL,
            at_utc TEXT NOT NULL,
            person TEXT NOT NULL,
            corrections INTEGER NOT NULL,
            PRIMARY KEY (run, number)
        ) STRICT, WITHOUT ROWID;
        CREATE TABLE chain_start (
            at_utc TEXT NOT NULL,
            archive TEXT NOT NULL,
            from_version INTEGER NOT NULL
        ) STRICT;
        CREATE TABLE chain (
            link INTEGER PRIMARY KEY,
            kind INTEGER NOT NULL,
            run INTEGER NOT NULL,
            part INTEGER NOT NULL,
            record BLOB NOT NULL,
            digest BLOB NOT NULL
        ) STRICT;
        CREATE UNIQUE INDEX chain_by_record ON chain (run, kind, part);
        """;

    // No reference from holds and prunings to runs: both outlive the run that they are about.
    private const string Since6 = """
        CREATE TABLE holds (
            run INTEGER NOT NULL,
            number INTEGER NOT NULL,
            at_utc TEXT NOT NULL,
            person TEXT NOT NULL,
            held INTEGER NOT NULL,
            reason TEXT NOT NULL,
            PRIMARY KEY (run, number)
        ) STRICT, WITHOUT ROWID;
        CREATE TABLE prunings (
            run INTEGER PRIMARY KEY,
            id TEXT NOT NULL,
            at_utc TEXT NOT NULL,
            person TEXT NOT NULL,
            reason TEXT NOT NULL,
            tester_id TEXT NOT NULL,
            method_id TEXT NOT NULL,
            started_at_utc TEXT NOT NULL,
            ended_at_utc TEXT NOT NULL,
            verdict TEXT,
            records INTEGER NOT NULL,
            copy TEXT
        ) STRICT;
        CREATE INDEX prunings_by_id ON prunings (id);
        CREATE INDEX runs_by_start ON runs (started_at_utc, number);
        CREATE INDEX events_resumed ON events (run) WHERE kind = 'run-resumed';
        CREATE TABLE imports (
            run INTEGER NOT NULL REFERENCES runs (number),
            number INTEGER NOT NULL,
            at_utc TEXT NOT NULL,
            person TEXT NOT NULL,
            reason TEXT NOT NULL,
            software_version TEXT NOT NULL,
            repeats INTEGER,
            bundle BLOB NOT NULL,
            origin_archive TEXT NOT NULL,
            origin_run INTEGER NOT NULL,
            origin_version TEXT NOT NULL,
            origin_link INTEGER NOT NULL,
            origin_digest BLOB NOT NULL,
            signer TEXT,
            manifest TEXT NOT NULL,
            signature TEXT,
            links BLOB NOT NULL,
            PRIMARY KEY (run, number)
        ) STRICT;
        """;

    /// <summary>The names of everything that belongs into an archive, but what SQLite makes for itself.</summary>
    public static IReadOnlyList<string> Names { get; } =
        ["runs", "runs_by_tester", "runs_open", "events", "chunks", "probe", "corrections", "results", "approvals", "chain_start", "chain", "chain_by_record", "holds", "prunings", "imports", "prunings_by_id", "runs_by_start", "events_resumed"];

    /// <summary>Version of the content of an open file.</summary>
    public static long VersionOf(SqliteConnection connection) => Number(connection, "PRAGMA user_version");

    /// <summary>Refuses a file that is not an archive, or one from a newer program, before anything is changed. Throws <see cref="ArchiveRefusedException"/>.</summary>
    public static void Recognise(SqliteConnection connection, string path)
    {
        var version = Number(connection, "PRAGMA user_version");
        if (version > Version)
        {
            throw new ArchiveRefusedException($"The archive {path} was written by a newer program (its content is version {version}, this program knows {Version}). Install that program, or choose another archive file.");
        }

        if (version < 0 || Number(connection, "PRAGMA application_id") != (version == 0 ? 0 : ApplicationId) || (version == 0 && Number(connection, "SELECT count(*) FROM sqlite_schema") > 0))
        {
            throw new ArchiveRefusedException($"The file {path} is a database, but not an archive of this program. Choose another archive file.");
        }
    }

    /// <summary>Creates the tables in an empty file, or takes over a recognised file of an older version, all or nothing; an older program refuses it from now on. A file with runs is copied first.</summary>
    /// <returns>The version that the file had, 0 for an empty one, and the copy that was made of it, if any.</returns>
    /// <exception cref="ArchiveRefusedException">A copy cannot be made, or the file is older than its content; nothing was changed.</exception>
    public static (long FromVersion, string? Copy) CreateOrTakeOver(SqliteConnection connection, string path, DateTimeOffset now)
    {
        var version = VersionOf(connection);
        if (version == Version)
        {
            return (version, null);
        }

        if (version < ChainVersion && Number(connection, "SELECT count(*) FROM sqlite_schema WHERE name = 'chain'") > 0)
        {
            throw new ArchiveRefusedException($"The archive {path} says that its content is version {version}, but it has a chain, which came with version {ChainVersion}. Somebody has changed it; restore it from a copy.");
        }

        var copy = version == 0 ? null : ArchiveCopy.Make(connection, path, version);
        ArchiveConnection.Scalar(connection, "BEGIN IMMEDIATE");
        ArchiveConnection.Scalar(connection, version == 0 ? Tables : version < 3 ? Since3 : "SELECT 1");
        if (version < ChainVersion)
        {
            ArchiveConnection.Scalar(connection, Since5);
            ChainSealing.Begin(connection, version, now);
        }

        ArchiveConnection.Scalar(connection, Since6);
        ArchiveConnection.Scalar(connection, string.Create(CultureInfo.InvariantCulture, $"PRAGMA application_id = {ApplicationId}; PRAGMA user_version = {Version}; COMMIT"));
        return (version, copy);
    }

    private static long Number(SqliteConnection connection, string sql) => long.Parse(ArchiveConnection.Scalar(connection, sql)!, CultureInfo.InvariantCulture);
}
