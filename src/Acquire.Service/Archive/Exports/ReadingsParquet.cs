using Acquire.Core.Readings;
using Acquire.Service.Live;
using Parquet;
using Parquet.Schema;

namespace Acquire.Service.Archive.Exports;

/// <summary>Readings as a Parquet file: a row a reading, numbers as doubles with every bit, nothing where a channel is not there. The file's own key and value pairs say which run it is and in which units.</summary>
internal static class ReadingsParquet
{
    /// <summary>The word and version of the layout.</summary>
    public const string Format = "acquire-readings-1";

    private const int GroupRows = 250_000;

    /// <summary>Writes the file.</summary>
    public static async Task WriteAsync(Stream stream, RunDetail run, RunProvenance provenance, IEnumerable<ReadingRow> rows, CancellationToken cancellationToken)
    {
        var columns = ReadingColumns.Of(run.Plan, rows);
        var fields = columns.Select(Field).ToArray();
        await using var writer = await ParquetWriter.CreateAsync(new ParquetSchema(fields), stream, new ParquetOptions { CompressionMethod = CompressionMethod.Snappy }, cancellationToken: cancellationToken).ConfigureAwait(false);
        writer.CustomMetadata = Metadata(run, provenance, columns);
        foreach (var group in rows.Chunk(GroupRows))
        {
            using var target = writer.CreateRowGroup();
            for (var i = 0; i < fields.Length; i++)
            {
                await WriteAsync(target, fields[i], columns[i], group, cancellationToken).ConfigureAwait(false);
            }

            target.CompleteValidate();
        }
    }

    // The time alone is there in every row.
    private static DataField Field(ReadingColumn column) => column switch
    {
        NumberReadingColumn => new DataField(column.Name, typeof(double), isNullable: column.Channel != RowChannels.None),
        WholeReadingColumn => new DataField(column.Name, typeof(long), isNullable: true),
        FlagReadingColumn => new DataField(column.Name, typeof(bool), isNullable: true),
        _ => new DataField(column.Name, typeof(string), isNullable: false),
    };

    private static Task WriteAsync(ParquetRowGroupWriter target, DataField field, ReadingColumn column, ReadingRow[] rows, CancellationToken cancellationToken) => column switch
    {
        NumberReadingColumn { Channel: RowChannels.None } number => target.WriteAsync<double>(field, Array.ConvertAll(rows, row => number.Of(row)), cancellationToken: cancellationToken),
        NumberReadingColumn number => target.WriteAsync<double>(field, Array.ConvertAll(rows, row => number.IsIn(row) ? number.Of(row) : (double?)null), cancellationToken: cancellationToken),
        WholeReadingColumn whole => target.WriteAsync<long>(field, Array.ConvertAll(rows, row => whole.IsIn(row) ? whole.Of(row) : (long?)null), cancellationToken: cancellationToken),
        FlagReadingColumn flag => target.WriteAsync<bool>(field, Array.ConvertAll(rows, row => flag.IsIn(row) ? flag.Of(row) : (bool?)null), cancellationToken: cancellationToken),
        _ => target.WriteAsync(field, Array.ConvertAll(rows, row => column.Text(row))),
    };

    private static Dictionary<string, string> Metadata(RunDetail run, RunProvenance provenance, IReadOnlyList<ReadingColumn> columns)
    {
        var pairs = new Dictionary<string, string>
        {
            ["acquire.format"] = Format,
            ["acquire.archive"] = provenance.Archive,
            ["acquire.run"] = run.Summary.Id,
            ["acquire.tester"] = run.Summary.TesterId,
            ["acquire.method"] = run.Summary.MethodId,
            ["acquire.specimen"] = run.Summary.Specimen,
            ["acquire.started_at_utc"] = run.Summary.StartedAt.UtcDateTime.ToString("O", System.Globalization.CultureInfo.InvariantCulture),
            ["acquire.software_version"] = provenance.SoftwareVersion,
            ["acquire.source"] = provenance.Source,
        };
        foreach (var column in columns.Where(column => column.Unit is not null))
        {
            pairs["acquire.unit." + column.Name] = column.Unit!;
        }

        return pairs;
    }
}
