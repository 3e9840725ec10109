using System.Text;
using Acquire.Core.Methods;
using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Influx;
using Acquire.Service.Archive.Influx.Feeding;
using Acquire.Service.Archive.Influx.Lines;
using Acquire.Service.Configuration;
using BenchmarkDotNet.Attributes;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Logging.Abstractions;

namespace Acquire.Benchmarks;

/// <summary>What handing the archive on costs: a run of 20 minutes at 50 rows a second, as lines, and from the file to a server in the same process that reads the lines and says that it has them.</summary>
[MemoryDiagnoser]
[SimpleJob(warmupCount: 1, iterationCount: 6, invocationCount: 4)]
public class InfluxBenchmarks
{
    private const int RunRows = 60_000;
    private static readonly CancellationToken Never = CancellationToken.None;

    private readonly ReadingRow[] _rows = RowChunkBenchmarks.PlausibleRun(RunRows);
    private readonly FeedRun _run = new(1, "20260302T093015Z-bench-1-7f3a", "bench-1", "astm-d92-18", DateTimeOffset.UnixEpoch.AddYears(56), false, true, false, RunRows, 0, 0);
    private readonly StringBuilder _text = new();
    private string _folder = "";
    private WebApplication _server = null!;
    private InfluxConfig _influx = null!;

    /// <summary>An archive with the run, and the server.</summary>
    [GlobalSetup]
    public async Task OpenAsync()
    {
        _folder = Directory.CreateTempSubdirectory("acquire-bench-").FullName;
        await using (var archive = RunArchive.Open(Path.Combine(_folder, "runs.db"), TimeProvider.System, NullLogger<RunArchive>.Instance))
        {
            var plan = new RunPlan { Method = MethodCatalog.All.Single(method => method.Id == "astm-d92-18"), ExpectedFlashCelsius = 220, HasFlameSignal = true };
            await archive.BeginRunAsync(new(_run.Id, _run.Tester, "bench oil", plan, _run.StartedAt, "bench", "none"), Never);
            await archive.AppendRowsAsync(_run.Id, _rows, Never);
            await archive.CloseRunAsync(_run.Id, _run.StartedAt.AddMinutes(20), new RunResult(Verdict.Valid, null, null, 101.3, [], []), Never);
        }

        var builder = WebApplication.CreateEmptyBuilder(new());
        builder.WebHost.UseKestrelCore().UseUrls("http://127.0.0.1:0");
        builder.Logging.ClearProviders();
        _server = builder.Build();
        _server.Run(async context =>
        {
            await context.Request.Body.CopyToAsync(Stream.Null, context.RequestAborted);
            context.Response.StatusCode = StatusCodes.Status204NoContent;
        });
        await _server.StartAsync();
        _influx = new() { Url = new(_server.Urls.Single() + "/"), Org = "lab", Bucket = "oils" };
    }

    /// <summary>Ends the server.</summary>
    [GlobalCleanup]
    public async Task CloseAsync()
    {
        await _server.DisposeAsync();
        Directory.Delete(_folder, recursive: true);
    }

    /// <summary>Rows to lines in memory; per row.</summary>
    [Benchmark(OperationsPerInvoke = RunRows)]
    public int Lines()
    {
        var writer = new PointWriter(_text);
        for (var index = 0; index < _rows.Length; index++)
        {
            if (index % InfluxConfig.MostBatchLines == 0)
            {
                _text.Clear();
            }

            writer.Write(_run, index, _rows[index]);
        }

        return _text.Length;
    }

    /// <summary>From the archive's file to the server and the cursor on the disk, by the outbox; per row.</summary>
    [Benchmark(OperationsPerInvoke = RunRows)]
    public async Task<long> HandOn()
    {
        var board = new OutboxBoard(_influx, TimeProvider.System);
        var options = new OutboxOptions(Path.Combine(_folder, "runs.db")) { StatePath = Path.Combine(_folder, Path.GetRandomFileName()) };
        using var outbox = new Outbox(_influx, options, board, TimeProvider.System, NullLogger.Instance);
        while (await outbox.TurnAsync(Never) != Outbox.Poll)
        {
        }

        return board.Overview().Lines;
    }
}
