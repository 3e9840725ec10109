using System.Globalization;
using System.Text;
using Acquire.Core.Readings;
using Acquire.Service.Archive;

namespace Acquire.Service.Live.Api;

/// <summary>Answers with every archived row of a run as a trace file. A channel that a row does not carry is an empty field, never a zero.</summary>
internal sealed class ReadingsCsv(string runId, bool flame, RunArchive archive) : IResult
{
    /// <summary>First line of the file where the tester reports its test flame.</summary>
    public const string Header = "time_s,temperature_c,detector,flame";

    /// <summary>First line of the file where it does not: an empty flame column would say that it does.</summary>
    public const string HeaderWithoutFlame = "time_s,temperature_c,detector";

    private const int FlushBytes = 32 * 1024;

    /// <inheritdoc/>
    public async Task ExecuteAsync(HttpContext httpContext)
    {
        var response = httpContext.Response;
        response.ContentType = "text/csv; charset=utf-8";
        response.Headers.ContentDisposition = $"attachment; filename=\"{runId}.csv\"";
        var text = new StringBuilder(FlushBytes + 256).Append(flame ? Header : HeaderWithoutFlame).Append('\n');
        foreach (var row in archive.ReadRows(runId))
        {
            Append(text, row, flame);
            if (text.Length >= FlushBytes)
            {
                await response.WriteAsync(text.ToString(), httpContext.RequestAborted).ConfigureAwait(false);
                text.Clear();
            }
        }

        await response.WriteAsync(text.ToString(), httpContext.RequestAborted).ConfigureAwait(false);
    }

    private static void Append(StringBuilder text, in ReadingRow row, bool flame)
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

        if (flame)
        {
            text.Append(',').Append(!row.Has(RowChannels.Flame) ? "" : row.FlameOver ? "1" : "0");
        }

        text.Append('\n');
    }
}
