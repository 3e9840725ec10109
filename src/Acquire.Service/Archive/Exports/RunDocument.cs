using System.Text.Json;
using Acquire.Core.Readings;
using Acquire.Service.Live;

namespace Acquire.Service.Archive.Exports;

/// <summary>A whole run as one JSON document: what is known of it, plan, facts, results, corrections, and all readings in rows. Numbers have every digit.</summary>
internal static class RunDocument
{
    /// <summary>The word and version of the format.</summary>
    public const string Format = "acquire-run-1";

    private const int PieceBytes = 64 * 1024;

    private static readonly JsonWriterOptions Options = new() { Indented = true, NewLine = "\n", Encoder = System.Text.Encodings.Web.JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    /// <summary>Writes the document.</summary>
    public static void Write(Stream stream, RunDetail run, RunProvenance provenance, IEnumerable<ReadingRow> rows)
    {
        using var json = new Utf8JsonWriter(stream, Options);
        json.WriteStartObject();
        json.WriteString("format", Format);
        json.WriteString("archive", provenance.Archive);
        json.WriteString("softwareVersion", provenance.SoftwareVersion);
        json.WriteString("source", provenance.Source);
        Raw(json, "summary", run.Summary);
        Raw(json, "plan", run.Plan);
        Raw(json, "events", run.Events);
        Raw(json, "corrections", run.Audit.Corrections);
        Raw(json, "results", run.Audit.Results);
        Raw(json, "approvals", run.Audit.Approvals);
        Raw(json, "imports", run.Audit.Imports);
        Raw(json, "originalResult", run.Audit.OriginalResult);
        Readings(json, ReadingColumns.Of(run.Plan, rows), rows);
        json.WriteEndObject();
    }

    private static void Raw<T>(Utf8JsonWriter json, string name, T value)
    {
        json.WritePropertyName(name);
        json.WriteRawValue(ArchiveJson.Write(value));
    }

    private static void Readings(Utf8JsonWriter json, IReadOnlyList<ReadingColumn> columns, IEnumerable<ReadingRow> rows)
    {
        json.WriteStartObject("readings");
        json.WriteStartArray("columns");
        foreach (var column in columns)
        {
            json.WriteStartObject();
            json.WriteString("name", column.Name);
            json.WriteString("unit", column.Unit);
            json.WriteEndObject();
        }

        json.WriteEndArray();
        json.WriteStartArray("rows");
        foreach (var row in rows)
        {
            // On one line each, or a long run becomes a file of millions of lines.
            json.WriteRawValue($"[{string.Join(',', columns.Select(column => Value(column, row)))}]");

            // The writer keeps all of it in memory until it is told not to.
            if (json.BytesPending > PieceBytes)
            {
                json.Flush();
            }
        }

        json.WriteEndArray();
        json.WriteEndObject();
    }

    // JSON has no word for what is no number; a channel that is not there is null.
    private static string Value(ReadingColumn column, ReadingRow row) => !column.IsIn(row) ? "null" : column switch
    {
        NumberReadingColumn number when !double.IsFinite(number.Of(row)) => $"\"{column.Text(row)}\"",
        FlagReadingColumn flag => flag.Of(row) ? "true" : "false",
        MarksReadingColumn => $"\"{column.Text(row)}\"",
        _ => column.Text(row),
    };
}
