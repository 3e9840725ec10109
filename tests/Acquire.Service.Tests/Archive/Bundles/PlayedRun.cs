using Acquire.Core.Methods;
using Acquire.Core.Readings;
using Acquire.Core.Results;
using Acquire.Core.Runs;
using Acquire.Service.Archive;
using Acquire.Simulator;
using Xunit;

namespace Acquire.Service.Tests.Archive.Bundles;

/// <summary>A whole run of the simulator with the facts and the result that the supervisor made of it.</summary>
/// <param name="Plan">Its plan.</param>
/// <param name="Rows">Its readings.</param>
/// <param name="Facts">Its facts.</param>
/// <param name="Result">Its result.</param>
internal sealed record PlayedRun(RunPlan Plan, IReadOnlyList<ReadingRow> Rows, IReadOnlyList<RunOutput> Facts, RunResult Result)
{
    /// <summary>Who works the tester, and how.</summary>
    public static IReadOnlyList<string> Kinds { get; } = ["observed", "guided", "driven", "equilibrium", "scouting", "thermocouple"];

    private static readonly string[] Ramps = ["iso-2592-2017", "astm-d92-18", "bench-open-cup", "iso-2719-2016-a", "iso-13736-2021"];

    // The first ones of them say how to begin where nobody knows the flash point.
    private const int ScoutedRamps = 4;

    /// <summary>A run of a kind, drawn from a number.</summary>
    public static PlayedRun Of(string kind, int number)
    {
        var method = MethodCatalog.All.Single(known => known.Id == (kind == "equilibrium" ? "iso-3679-2022-b" : Ramps[number % (kind == "scouting" ? ScoutedRamps : Ramps.Length)]));
        var scope = method.FlashScopeCelsius;
        var flash = kind == "equilibrium" ? 62.3 : Math.Clamp(Math.Round((scope.From + scope.To) / 2) + (number % 7), scope.From + 5, Math.Min(220, scope.To - 5));
        var options = new SimulatorOptions
        {
            Method = method,
            FlashCelsius = flash,
            FireCelsius = method.FirePoint.Determined && kind != "scouting" ? flash + 14 : null,
            ExpectedFlashCelsius = kind == "equilibrium" ? 64 : null,
            Scouting = kind == "scouting",
            HasFlameSignal = kind != "guided",
            RowsPerSecond = kind == "equilibrium" ? 20 : 10,
            CoolingSeconds = 30,
            Analyst = kind == "guided" ? new() : null,
            Thermometer = kind == "thermocouple" ? new() { Chain = ArchiveBench.Thermocouple } : new(),
            Seed = (ulong)number,
        };
        return kind switch
        {
            "driven" => Driven(options),
            "guided" => Judged(options.Aim.Plan(method) with { StationPressureKilopascals = 101.3, ExpectedFlashCelsius = options.Expected, Mode = RunMode.Guided }, options, run => Keys(run)),
            _ => Judged(options.Aim.Plan(method) with { StationPressureKilopascals = 101.3, HasFlameSignal = true, Thermometer = options.Thermometer.Chain }, options, run => run.Entries),
        };
    }

    /// <summary>A run that was given up after half a minute: small, and whole.</summary>
    public static PlayedRun Small()
    {
        var options = new SimulatorOptions { Method = MethodCatalog.All.Single(method => method.Id == "astm-d92-18"), FlashCelsius = 221, RowsPerSecond = 10, Seed = 7 };
        return Judged(options.Aim.Plan(options.Method) with { StationPressureKilopascals = 98.7, HasFlameSignal = true }, options, _ => [], 300);
    }

    /// <summary>Writes the run into an archive, as a lane does.</summary>
    public async Task WriteAsync(RunArchive archive, string id, CancellationToken cancel, bool close = true)
    {
        await archive.BeginRunAsync(ArchiveBench.Header(id) with { Plan = Plan }, cancel);
        var half = Facts.Count / 2;
        await archive.AppendRowsAsync(id, Rows.Take(Rows.Count / 2).ToArray(), cancel);
        await archive.AppendEventsAsync(id, [.. Facts.Take(half)], cancel);
        await archive.AppendRowsAsync(id, Rows.Skip(Rows.Count / 2).ToArray(), cancel);
        await archive.AppendEventsAsync(id, [.. Facts.Skip(half)], cancel);
        if (close)
        {
            await archive.CloseRunAsync(id, ArchiveBench.Start.AddMinutes(20), Result, cancel);
        }
    }

    private static PlayedRun Judged(RunPlan plan, SimulatorOptions options, Func<SimulatedRun, IReadOnlyList<PersonEntry>> entries, int most = int.MaxValue)
    {
        var (run, facts) = (new SimulatedRun(options), new List<RunOutput>());
        ReadingRow[] rows = [.. run.Take(most)];
        var result = RunReplay.Run(plan, rows, entries(run), facts);
        return new(plan, rows, facts, result);
    }

    private static PlayedRun Driven(SimulatorOptions options)
    {
        var run = DrivenRun.Play(DrivenRunOptions.For(DrivenOptions.For(options)));
        return new(run.Plan, run.Rows, run.Facts, run.Result);
    }

    private static IReadOnlyList<PersonEntry> Keys(SimulatedRun run)
    {
        var (entries, errors) = PersonEntryReader.Read("keys", [SimulatedKey.Header, .. run.Truth.Keys!.Select(key => key.Line)]);
        Assert.Empty(errors);
        return entries;
    }
}
