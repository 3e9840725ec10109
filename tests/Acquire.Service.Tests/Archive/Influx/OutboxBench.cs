using Acquire.Core.Readings;
using Acquire.Service.Archive;
using Acquire.Service.Archive.Influx;
using Acquire.Service.Archive.Influx.Keeping;
using Acquire.Service.Configuration;
using Microsoft.Extensions.Logging.Abstractions;
using Xunit;

namespace Acquire.Service.Tests.Archive.Influx;

/// <summary>An archive and an outbox that hands it on, turn by turn.</summary>
internal sealed class OutboxBench : IDisposable
{
    private readonly ArchiveBench _archive = new();

    public OutboxBench(Uri url) => Influx = new() { Url = url, Org = "lab", Bucket = "oils", BatchLines = 200, TimeoutSeconds = 5 };

    public InfluxConfig Influx { get; set; }

    public TimeProvider Time { get; set; } = TimeProvider.System;

    public Func<HttpMessageHandler, HttpMessageHandler>? Around { get; set; }

    public OutboxBoard Board { get; private set; } = null!;

    public string Path => _archive.Path;

    public string StatePath => System.IO.Path.Combine(_archive.Folder, OutboxFile.FileName);

    public ArchiveBench Archive => _archive;

    private static CancellationToken Cancelled => TestContext.Current.CancellationToken;

    public RunArchive Open(ArchiveOptions? options = null) => _archive.Open(options);

    public Outbox Start(Random? random = null)
    {
        Board = new(Influx, Time);
        return new(Influx, new(Path) { Around = Around, Random = random ?? new Random(1) }, Board, Time, NullLogger.Instance);
    }

    public OutboxStore Store() => OutboxStore.Open(StatePath, Influx, Time);

    /// <summary>Writes a closed run of so many rows, with one of every kind of fact.</summary>
    public static async Task WriteRunAsync(RunArchive archive, string id, IEnumerable<ReadingRow> rows, bool close = true, string tester = "bench-1", DateTimeOffset? start = null)
    {
        await archive.BeginRunAsync(ArchiveBench.Header(id, tester) with { StartedAt = start ?? ArchiveBench.Start }, Cancelled);
        await archive.AppendRowsAsync(id, rows.ToArray(), Cancelled);
        await archive.AppendEventsAsync(id, ArchiveBench.EveryFact, Cancelled);
        if (close)
        {
            await archive.CloseRunAsync(id, (start ?? ArchiveBench.Start).AddMinutes(30), ArchiveBench.Result, Cancelled);
        }
    }

    /// <summary>Turns until nothing waits, however long the waits would be.</summary>
    public static async Task DrainAsync(Outbox outbox, int mostTurns = 2000)
    {
        for (var turn = 0; turn < mostTurns; turn++)
        {
            if (await outbox.TurnAsync(Cancelled) == Outbox.Poll && await outbox.TurnAsync(Cancelled) == Outbox.Poll)
            {
                return;
            }
        }

        Assert.Fail($"still something to send after {mostTurns} turns");
    }

    public void Dispose() => _archive.Dispose();
}
