using Acquire.Core.Methods;
using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Service.Archive;
using Acquire.Simulator;
using Microsoft.Extensions.Logging.Abstractions;

namespace Acquire.Benchmarks.Campaigns.Archive;

/// <summary>Whole runs of the simulator with the facts that the supervisor made of them: what an archive really gets.</summary>
/// <param name="Plan">Its plan.</param>
/// <param name="Rows">Its readings.</param>
/// <param name="Facts">Its facts.</param>
/// <param name="Result">Its result.</param>
internal sealed record FigureRun(RunPlan Plan, ReadingRow[] Rows, IReadOnlyList<RunOutput> Facts, RunResult Result)
{
    /// <summary>A flash and fire point at 221 and 240 °C from room temperature: a thermometer read to 0.01 °C, a detector to 0.0001 of its unit.</summary>
    /// <param name="rowsPerSecond">Readings a second.</param>
    /// <param name="detector">Whether there is a detector and a flame signal; without, the run is worked by hand and only the temperature is read.</param>
    public static FigureRun Simulated(double rowsPerSecond, bool detector)
    {
        var method = MethodCatalog.All.Single(known => known.Id == "iso-2592-2017");
        var options = new SimulatorOptions { Method = method, FlashCelsius = 221, FireCelsius = 240, RowsPerSecond = rowsPerSecond, HasFlameSignal = detector, Analyst = detector ? null : new(), Seed = 20_261_126 };
        var run = new SimulatedRun(options);
        var (facts, entries) = (new List<RunOutput>(), detector ? [] : Keys(run));
        var plan = options.Aim.Plan(method) with { StationPressureKilopascals = 101.3, HasFlameSignal = detector, Mode = detector ? RunMode.Observed : RunMode.Guided };
        ReadingRow[] rows = [.. run.Select(row => detector ? row : row with { Present = RowChannels.Temperature, Detector = 0 })];
        var result = RunReplay.Run(plan, rows, entries, facts);
        return new(plan, rows, facts, result);
    }

    /// <summary>Writes it into an archive, durable with each fact, as a lane does.</summary>
    public async Task WriteAsync(RunArchive archive, string id)
    {
        await archive.BeginRunAsync(new(id, "bench-1", "turbine oil", Plan, DateTimeOffset.UnixEpoch, "0.1.0", "serial /dev/ttyUSB0, 9600 baud"), default).ConfigureAwait(false);
        var at = 0;
        foreach (var fact in Facts)
        {
            var next = at;
            while (next < Rows.Length && Rows[next].AtSeconds <= fact.AtSeconds)
            {
                next++;
            }

            await archive.AppendRowsAsync(id, Rows.AsMemory(at, next - at), default).ConfigureAwait(false);
            await archive.AppendEventsAsync(id, [fact], default).ConfigureAwait(false);
            at = next;
        }

        await archive.AppendRowsAsync(id, Rows.AsMemory(at), default).ConfigureAwait(false);
        await archive.CloseRunAsync(id, DateTimeOffset.UnixEpoch, Result, default).ConfigureAwait(false);
    }

    /// <summary>An archive in a folder of its own for as long as something is done with it.</summary>
    public static async Task WithArchiveAsync(Func<RunArchive, string, Task> work)
    {
        var folder = Directory.CreateTempSubdirectory("acquire-figures-").FullName;
        try
        {
            var path = Path.Combine(folder, "runs.db");
            await using var archive = Open(path);
            await work(archive, path).ConfigureAwait(false);
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    /// <summary>Opens an archive.</summary>
    public static RunArchive Open(string path) => RunArchive.Open(path, TimeProvider.System, NullLogger<RunArchive>.Instance);

    private static IReadOnlyList<PersonEntry> Keys(SimulatedRun run) => PersonEntryReader.Read("keys", [SimulatedKey.Header, .. run.Truth.Keys!.Select(key => key.Line)]).Entries;
}
