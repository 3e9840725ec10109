using Acquire.Core.Runs;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Exports;

namespace Acquire.Service.Live.Api;

/// <summary>Answers with every archived row of a run as a trace file.</summary>
internal sealed class ReadingsCsv(string runId, RunPlan plan, RunArchive archive) : IResult
{
    /// <inheritdoc/>
    public async Task ExecuteAsync(HttpContext httpContext)
    {
        var response = httpContext.Response;
        // One extent for both passes: a row that is archived meanwhile cannot bring a column that the header does not have.
        var rows = archive.ReadRows(runId);
        var columns = ReadingColumns.Of(plan, rows);
        response.ContentType = "text/csv; charset=utf-8";
        response.Headers.ContentDisposition = $"attachment; filename=\"{runId}.csv\"";
        foreach (var piece in ReadingsCsvText.Pieces(columns, rows))
        {
            await response.WriteAsync(piece, httpContext.RequestAborted).ConfigureAwait(false);
        }
    }
}
