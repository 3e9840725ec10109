using System.Net;
using System.Text.Json;
using Acquire.Service.Archive.Bundles;
using Acquire.Service.Archive.Curves;
using Acquire.Service.Tests.Lanes;
using Parquet;
using Xunit;

namespace Acquire.Service.Tests.Live;

public sealed class ExportApiTests
{
    private static CancellationToken Cancelled => TestContext.Current.CancellationToken;

    [Fact(Timeout = 60000)]
    public async Task A_run_is_given_out_as_document_as_parquet_and_once_it_has_ended_as_bundle()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);
        var run = await bench.StartRunAsync();
        await bench.SendAsync(TestTester.Heating(0, 500));
        await bench.UntilRowsAsync(run.Id, 500);

        var open = await bench.GetAsync<JsonElement>($"/api/runs/{run.Id}/export.json");
        using var early = await bench.Client.GetAsync($"/api/runs/{run.Id}/export.bundle", Cancelled);
        await bench.StopRunAsync(run.Id);
        var closed = await bench.GetAsync<JsonElement>($"/api/runs/{run.Id}/export.json");
        using var parquet = await bench.Client.GetAsync($"/api/runs/{run.Id}/export.parquet", Cancelled);
        using var bundle = await bench.Client.GetAsync($"/api/runs/{run.Id}/export.bundle?witness=true", Cancelled);

        Assert.Equal(500, open.GetProperty("readings").GetProperty("rows").GetArrayLength());
        Assert.Equal(JsonValueKind.Null, open.GetProperty("summary").GetProperty("closedAt").ValueKind);
        Assert.Equal(HttpStatusCode.Conflict, early.StatusCode);
        Assert.Contains("is open", await early.Content.ReadAsStringAsync(Cancelled), StringComparison.Ordinal);
        Assert.NotEqual(JsonValueKind.Null, closed.GetProperty("summary").GetProperty("closedAt").ValueKind);
        await using var reader = await ParquetReader.CreateAsync(new MemoryStream(await parquet.Content.ReadAsByteArrayAsync(Cancelled)), cancellationToken: Cancelled);
        Assert.Equal(500, reader.OpenRowGroupReader(0).RowCount);
        Assert.Equal(run.Id + ".run.zip", bundle.Content.Headers.ContentDisposition!.FileName);
        var read = RunBundle.TryRead(await bundle.Content.ReadAsByteArrayAsync(Cancelled), out var fault);
        Assert.Null(fault);
        Assert.Equal(run.Id, read!.Manifest.Run);
        Assert.NotNull(read.Witness);
    }

    [Fact(Timeout = 60000)]
    public async Task A_curve_comes_at_the_width_that_was_asked_for()
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);
        var run = await bench.StartRunAsync();
        await bench.SendAsync(TestTester.Heating(0, 2000));
        await bench.UntilRowsAsync(run.Id, 2000);
        await bench.StopRunAsync(run.Id);

        var curve = await bench.GetAsync<RunCurve>($"/api/runs/{run.Id}/curve?width=100");

        Assert.Equal((2000L, 100, 100), (curve.Rows, curve.TemperatureLow.Count, curve.Flame.Count));
        Assert.Contains(curve.Events, mark => mark.Kind == "run-closed");
        Assert.All(curve.TemperatureLow.Zip(curve.TemperatureHigh), pair => Assert.True(pair.First <= pair.Second));
    }

    [Theory(Timeout = 60000)]
    [InlineData("/api/runs/nothing/export.json", HttpStatusCode.NotFound)]
    [InlineData("/api/runs/nothing/export.parquet", HttpStatusCode.NotFound)]
    [InlineData("/api/runs/nothing/export.bundle", HttpStatusCode.NotFound)]
    [InlineData("/api/runs/nothing/curve?width=100", HttpStatusCode.NotFound)]
    [InlineData("/api/runs/nothing/curve?width=9", HttpStatusCode.BadRequest)]
    [InlineData("/api/runs/nothing/curve?width=20001", HttpStatusCode.BadRequest)]
    [InlineData("/api/runs/nothing/curve?width=100&from=0", HttpStatusCode.BadRequest)]
    public async Task What_is_not_there_or_cannot_be_is_refused(string address, HttpStatusCode status)
    {
        await using var bench = await AppBench.StartAsync(TestContext.Current.CancellationToken);

        using var answer = await bench.Client.GetAsync(address, Cancelled);

        Assert.Equal(status, answer.StatusCode);
        Assert.Contains("errors", await answer.Content.ReadAsStringAsync(Cancelled), StringComparison.Ordinal);
    }
}
