using Acquire.Service.Archive;
using Acquire.Service.Archive.Bundles;
using Acquire.Service.Archive.Exports;
using Acquire.Service.Hosting;
using Acquire.Service.Sources.Capture;

namespace Acquire.Service.Live.Api;

/// <summary>The calls by which a run is given out whole; see docs/api.md.</summary>
internal static class ExportApi
{
    public static void Map(IEndpointRouteBuilder routes, TimeProvider time)
    {
        routes.MapGet("/api/runs/{id}/export.json", (string id, RunArchive archive) =>
            FileAsync(id, archive, "application/json", "json", (export, run, stream, _) => export.WriteJsonAsync(run, stream)));
        routes.MapGet("/api/runs/{id}/export.parquet", (string id, RunArchive archive) =>
            FileAsync(id, archive, "application/vnd.apache.parquet", "parquet", (export, run, stream, aborted) => export.WriteParquetAsync(run, stream, aborted)));
        routes.MapGet("/api/runs/{id}/export.bundle", (string id, bool? witness, bool? wire, RunArchive archive, CaptureFolder captures, CancellationToken aborted) =>
            BundleAsync(id, new() { Witness = witness ?? false }, wire == true ? captures : new(null), archive, time, aborted));
    }

    // By a file of its own: a document of an hour at 500 readings a second does not belong into the memory.
    private static async Task<IResult> FileAsync(string id, RunArchive archive, string type, string ending, Func<ArchiveExport, RunDetail, Stream, CancellationToken, Task> write)
    {
        var export = archive.Export();
        if (export.Find(id) is not { } run)
        {
            return ApiAnswers.NoRun(id, archive);
        }

        var file = new FileStream(Path.GetTempFileName(), FileMode.Create, FileAccess.ReadWrite, FileShare.None, 64 * 1024, FileOptions.DeleteOnClose | FileOptions.Asynchronous);
        try
        {
            await write(export, run, file, default).ConfigureAwait(false);
            file.Position = 0;
            return Results.Stream(file, type, $"{id}.{ending}");
        }
        catch
        {
            await file.DisposeAsync().ConfigureAwait(false);
            throw;
        }
    }

    private static async Task<IResult> BundleAsync(string id, BundleOptions options, CaptureFolder captures, RunArchive archive, TimeProvider time, CancellationToken aborted)
    {
        var export = archive.Export();
        if (export.Find(id) is not { } run)
        {
            return ApiAnswers.NoRun(id, archive);
        }

        var (wire, fault) = await BundleWire.ReadAsync(captures, id, aborted).ConfigureAwait(false);
        return fault is null && export.Bundle(run, options with { Wire = wire }, time.GetUtcNow(), AcquireAppOptions.ThisVersion, out fault) is { } whole
            ? Results.Bytes(whole, "application/zip", id + ".run.zip")
            : ApiAnswers.Refused(StatusCodes.Status409Conflict, "id", fault!);
    }
}
