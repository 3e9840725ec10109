using System.Globalization;
using Acquire.Service.Archive.Database;

namespace Acquire.Service.Archive.Chain;

/// <summary>A kind of record that has a place in the chain: its columns in the order in which they are digested, and where it is found.</summary>
/// <remarks>
/// Codes and columns are for ever: a column more, or another order, is a new kind with a new code.
/// A run's row holds three records, which are written at three moments: its header, its closing, its interruption.
/// </remarks>
internal sealed class RecordKind
{
    // Longer than any record; a value that somebody made longer cannot fill the memory and does not match either.
    private const int MostBytesOfAValue = 64 * 1024 * 1024;

    private RecordKind(byte code, string word, string table, string run, string part, string present, string columns, int sinceVersion = ArchiveSchema.ChainVersion)
    {
        (Code, Word, Table, SinceVersion) = (code, word, table, sinceVersion);
        Columns = [.. columns.Split(' ').Select(column => column[..^2])];
        Fields = [.. columns.Split(' ').Select(column => column[^1] switch
        {
            'i' => FieldType.Integer,
            'r' => FieldType.Real,
            't' => FieldType.Text,
            _ => FieldType.Bytes,
        })];
        var read = columns.Split(' ').Zip(Fields, (column, type) => Read(column[..^2], type));
        Select = $"SELECT {string.Join(", ", read)} FROM {table} AS t WHERE {run} = $run AND {part} = $part AND ({present})";
        SelectUnlinked = string.Create(CultureInfo.InvariantCulture, $"SELECT {run} AS run, {part} AS part FROM {table} AS t WHERE ({present}) AND NOT EXISTS (SELECT 1 FROM chain AS c WHERE c.run = {run} AND c.kind = {code} AND c.part = {part})");
    }

    /// <summary>Where the chain begins.</summary>
    public static RecordKind Start { get; } = new(1, "start", "chain_start", "0", "0", "1", "at_utc:t archive:t from_version:i");

    /// <summary>What is known when a run begins.</summary>
    public static RecordKind Header { get; } = new(2, "header", "runs", "t.number", "0", "1",
        "number:i id:t tester_id:t specimen:t method_id:t expected_flash_celsius:r source:t software_version:t started_at_utc:t plan:t scouting:i specification_celsius:r");

    /// <summary>A fact, findings among them.</summary>
    public static RecordKind Event { get; } = new(3, "event", "events", "t.run", "t.sequence", "1", "run:i sequence:i at_seconds:r kind:t body:t");

    /// <summary>A chunk of readings that will not grow any more.</summary>
    public static RecordKind Chunk { get; } = new(4, "chunk", "chunks", "t.run", "t.chunk", "1", "run:i chunk:i first_row:i row_count:i first_seconds:r last_seconds:r body:b");

    /// <summary>The end of a run with its result.</summary>
    public static RecordKind Closing { get; } = new(5, "closing", "runs", "t.number", "0",
        "closed_at_utc IS NOT NULL OR verdict IS NOT NULL OR reported_flash_celsius IS NOT NULL OR reported_fire_celsius IS NOT NULL OR result IS NOT NULL",
        "number:i closed_at_utc:t verdict:t reported_flash_celsius:r reported_fire_celsius:r result:t");

    /// <summary>That a run was never closed.</summary>
    public static RecordKind Interruption { get; } = new(6, "interruption", "runs", "t.number", "0", "interrupted_at_utc IS NOT NULL", "number:i interrupted_at_utc:t");

    /// <summary>A correction.</summary>
    public static RecordKind Correction { get; } = new(7, "correction", "corrections", "t.run", "t.number", "1",
        "run:i number:i at_utc:t person:t field:t old_value:t new_value:t reason:t");

    /// <summary>A result that follows from a correction.</summary>
    public static RecordKind Result { get; } = new(8, "result", "results", "t.run", "t.number", "1",
        "run:i number:i correction:i at_utc:t software_version:t repeats:i verdict:t reported_flash_celsius:r reported_fire_celsius:r result:t");

    /// <summary>That somebody answers for a run as it then stood.</summary>
    public static RecordKind Approval { get; } = new(9, "approval", "approvals", "t.run", "t.number", "1", "run:i number:i at_utc:t person:t corrections:i");

    /// <summary>That a run came from another archive, and what is needed to compare it with that one's chain.</summary>
    public static RecordKind Import { get; } = new(10, "import", "imports", "t.run", "t.number", "1",
        "run:i number:i at_utc:t person:t reason:t software_version:t repeats:i bundle:b origin_archive:t origin_run:i origin_version:t origin_link:i origin_digest:b signer:t manifest:t signature:t links:b", sinceVersion: 6);

    /// <summary>That a run is to be kept, or need not be any longer.</summary>
    public static RecordKind Hold { get; } = new(11, "hold", "holds", "t.run", "t.number", "1", "run:i number:i at_utc:t person:t held:i reason:t", sinceVersion: 6);

    /// <summary>That a run was pruned: all its records but holds are gone, their links stay.</summary>
    public static RecordKind Pruning { get; } = new(12, "pruning", "prunings", "t.run", "0", "1",
        "run:i id:t at_utc:t person:t reason:t tester_id:t method_id:t started_at_utc:t ended_at_utc:t verdict:t records:i copy:t", sinceVersion: 6);

    /// <summary>All kinds, in the order of their codes.</summary>
    public static IReadOnlyList<RecordKind> All { get; } = [Start, Header, Event, Chunk, Closing, Interruption, Correction, Result, Approval, Import, Hold, Pruning];

    /// <summary>The kinds that an archive with content of a version can have.</summary>
    public static IEnumerable<RecordKind> In(long version) => All.Where(kind => kind.SinceVersion <= version);

    /// <summary>Whether such records go when their run is pruned.</summary>
    public bool GoesWithPruning => this != Start && this != Hold && this != Pruning;

    /// <summary>The number by which the chain names the kind.</summary>
    public byte Code { get; }

    /// <summary>The word by which people name it.</summary>
    public string Word { get; }

    /// <summary>Version of the archive's content with which it came.</summary>
    public int SinceVersion { get; }

    /// <summary>The table that holds it.</summary>
    public string Table { get; }

    /// <summary>The digested columns, in order; the first is the number of the run in every kind but the start.</summary>
    public IReadOnlyList<string> Columns { get; }

    /// <summary>The type of each digested column, in order.</summary>
    public IReadOnlyList<FieldType> Fields { get; }

    /// <summary>Reads the digested columns of the record of $run and $part; text as its bytes.</summary>
    public string Select { get; }

    /// <summary>Run and part of every such record without a place in the chain.</summary>
    public string SelectUnlinked { get; }

    /// <summary>The kind of a code; null for one that this program does not know.</summary>
    public static RecordKind? Of(long code) => All.FirstOrDefault(kind => kind.Code == code);

    // As bytes, because a text that was tampered with need not be UTF-8 and may hold a zero.
    private static string Read(string column, FieldType type) => type switch
    {
        FieldType.Text => string.Create(CultureInfo.InvariantCulture, $"substr(CAST(t.{column} AS BLOB), 1, {MostBytesOfAValue})"),
        FieldType.Bytes => string.Create(CultureInfo.InvariantCulture, $"substr(t.{column}, 1, {MostBytesOfAValue})"),
        _ => $"t.{column}",
    };
}
