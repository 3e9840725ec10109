using System.Globalization;
using System.Text;
using Acquire.Core.Readings;
using Acquire.Core.Runs;
using Acquire.Service.Archive;

namespace Acquire.Service.Live.Api;

/// <summary>Answers with every archived row of a run as a trace file. A channel that a row does not carry is an empty field, never a zero.</summary>
internal sealed class ReadingsCsv(string runId, RunPlan plan, RunArchive archive) : IResult
{
    private const int FlushBytes = 32 * 1024;

    /// <inheritdoc/>
    public async Task ExecuteAsync(HttpContext httpContext)
    {
        var response = httpContext.Response;
        // One extent for both passes: a row that is archived meanwhile cannot bring a column that the header does not have.
        var rows = archive.ReadRows(runId);
        var columns = ReadingsCsvColumns.Of(plan, rows);
        response.ContentType = "text/csv; charset=utf-8";
        response.Headers.ContentDisposition = $"attachment; filename=\"{runId}.csv\"";
        var text = new StringBuilder(FlushBytes + 256).Append(columns.Header).Append('\n');
        foreach (var row in rows)
        {
            Append(text, row, columns);
            if (text.Length >= FlushBytes)
            {
                await response.WriteAsync(text.ToString(), httpContext.RequestAborted).ConfigureAwait(false);
                text.Clear();
            }
        }

        await response.WriteAsync(text.ToString(), httpContext.RequestAborted).ConfigureAwait(false);
    }

    private static void Append(StringBuilder text, in ReadingRow row, ReadingsCsvColumns columns)
    {
        text.Append(CultureInfo.InvariantCulture, $"{row.AtSeconds:R}");
        AppendNumber(text, row, RowChannels.Temperature, row.TemperatureCelsius);
        AppendNumber(text, row, RowChannels.Detector, row.Detector);
        if (columns.SecondDetector)
        {
            AppendNumber(text, row, RowChannels.SecondDetector, row.SecondDetector);
        }

        if (columns.Flame)
        {
            text.Append(',').Append(!row.Has(RowChannels.Flame) ? "" : row.FlameOver ? "1" : "0");
        }

        if (columns.Signal)
        {
            AppendNumber(text, row, RowChannels.Signal, row.Signal);
        }

        if (columns.Junction)
        {
            AppendNumber(text, row, RowChannels.Junction, row.JunctionCelsius);
        }

        if (columns.Marks)
        {
            text.Append(',').Append(ReadingMarkWords.Join(row.Marks));
        }

        if (columns.Bench != RowChannels.None)
        {
            AppendBench(text, row, columns.Bench);
        }

        text.Append('\n');
    }

    private static void AppendBench(StringBuilder text, in ReadingRow row, RowChannels wanted)
    {
        foreach (var (_, channel) in BenchColumns.All)
        {
            if ((wanted & channel) != 0)
            {
                text.Append(',').Append(BenchColumns.Text(row, channel));
            }
        }
    }

    private static void AppendNumber(StringBuilder text, in ReadingRow row, RowChannels channel, double value)
    {
        text.Append(',');
        if (row.Has(channel))
        {
            text.Append(CultureInfo.InvariantCulture, $"{value:R}");
        }
    }
}
