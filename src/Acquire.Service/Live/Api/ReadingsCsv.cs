using System.Globalization;
using System.Text;
using Acquire.Core.Readings;
using Acquire.Service.Archive;

namespace Acquire.Service.Live.Api;

/// <summary>Answers with every archived row of a run as a trace file. A channel that a row does not carry is an empty field, never a zero.</summary>
internal sealed class ReadingsCsv(string runId, RunArchive archive) : IResult
{
    /// <summary>First line of the file.</summary>
    public const string Header = "time_s,temperature_c,detector,flame";

    private const int FlushBytes = 32 * 1024;

    /// <inheritdoc/>
    public async Task ExecuteAsync(HttpContext httpContext)
    {
        var response = httpContext.Response;
        response.ContentType = "text/csv; charset=utf-8";
        response.Headers.ContentDisposition = $"attachment; filename=\"{runId}.csv\"";
        var text = new StringBuilder(FlushBytes + 256).Append(Header).Append('\n');
        foreach (var row in archive.ReadRows(runId))
        {
            Append(text, row);
            if (text.Length >= FlushBytes)
            {
                await response.WriteAsync(text.ToString(), httpContext.RequestAborted).ConfigureAwait(false);
                text.Clear();
            }
        }

        await response.WriteAsync(text.ToString(), httpContext.RequestAborted).ConfigureAwait(false);
    }

    private static void Append(StringBuilder text, in ReadingRow row)
    {
        text.Append(CultureInfo.InvariantCulture, $"{row.AtSeconds:R},");
        if (row.Has(RowChannels.Temperature))
        {
            text.Append(CultureInfo.InvariantCulture, $"{row.TemperatureCelsius:R}");
        }

        text.Append(',');
        if (row.Has(RowChannels.Detector))
        {
            text.Append(CultureInfo.InvariantCulture, $"{row.Detector:R}");
        }

        text.Append(',');
        if (row.Has(RowChannels.Flame))
        {
            text.Append(row.FlameOver ? '1' : '0');
        }

        text.Append('\n');
    }
}
