using System.Globalization;
using Acquire.ArchiveVictim;
using Acquire.Core.Methods;
using Acquire.Core.Runs;
using Acquire.Service.Archive;
using Microsoft.Extensions.Logging.Abstractions;

// `live DATABASE EPOCH TESTERS`: testers with runs that are started, observed and stopped; see LiveVictim.
if (args is ["live", var live, var epoch, var testers])
{
    await LiveVictim.RunAsync(live, DateTimeOffset.Parse(epoch, CultureInfo.InvariantCulture), int.Parse(testers, CultureInfo.InvariantCulture), TimeProvider.System);
    return;
}

// Writes to an archive until it is killed, and says on standard output what the archive has acknowledged: `acknowledged ROWS FACTS`.
// Arguments: database file, run id.
var (path, runId) = (args[0], args[1]);
await using var archive = RunArchive.Open(path, TimeProvider.System, NullLogger<RunArchive>.Instance, new ArchiveOptions { ChunkRows = 256, CommitInterval = TimeSpan.FromMilliseconds(20) });
var plan = new RunPlan { Method = MethodCatalog.All.Single(method => method.Id == "astm-d92-18"), ExpectedFlashCelsius = 200, HasFlameSignal = true };
await archive.BeginRunAsync(new RunHeader(runId, "bench-1", "victim oil", plan, TimeProvider.System.GetUtcNow(), "test", "none"), CancellationToken.None);

var (rows, facts) = (0L, 0);
for (var step = 0; ; step++)
{
    var batch = Enumerable.Range(0, (step % 20) + 1).Select(offset => VictimRows.At(rows + offset)).ToArray();
    await archive.AppendRowsAsync(runId, batch, CancellationToken.None);
    rows += batch.Length;
    if (step % 5 == 4)
    {
        await archive.AppendEventsAsync(runId, [VictimRows.FactAt(facts)], CancellationToken.None);
        facts++;
        Acknowledge(rows, facts);
    }
    else if (step % 5 == 2)
    {
        await Task.Delay(TimeSpan.FromMilliseconds(5), TimeProvider.System);
        Acknowledge(archive.ArchivedRows(runId), facts);
    }
}

static void Acknowledge(long rows, int facts)
{
    Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"acknowledged {rows} {facts}"));
    Console.Out.Flush();
}
