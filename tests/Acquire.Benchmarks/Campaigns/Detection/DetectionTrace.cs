using System.Globalization;
using Acquire.Benchmarks.Campaigns.Flash;
using Acquire.Core.Runs;
using Acquire.Simulator;

namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>Plays one seed of a campaign again, tells how each pass was judged, and draws the last one judged.</summary>
internal static class DetectionTrace
{
    private const string Usage = "usage: detection-trace ROW SEED FILE.svg; ROW: part of the name of a row of scenes, or `whole runs`";

    /// <summary>Runs the command.</summary>
    /// <param name="args">What follows its word.</param>
    /// <returns>Exit code: 0, or 2 where something is wrong with the arguments.</returns>
    public static int Run(string[] args)
    {
        if (args is not [var name, var number, var file] || !ulong.TryParse(number, NumberStyles.None, CultureInfo.InvariantCulture, out var seed) || seed == 0)
        {
            Console.Error.WriteLine(Usage);
            return 2;
        }

        if (name == Campaign.RunsName)
        {
            WholeRun(seed, file);
            return 0;
        }

        if (SceneRows.All.FirstOrDefault(row => row.Name.Contains(name, StringComparison.OrdinalIgnoreCase)) is not { } scene)
        {
            Console.Error.WriteLine($"no row of scenes holds '{name}' in its name. {Usage}");
            return 2;
        }

        Scene(scene, seed, file);
        return 0;
    }

    private static void Scene(SceneRow row, ulong seed, string file)
    {
        var scene = PassScene.Draw(seed, row.Options);
        var played = ScenePlay.Play(scene);
        Console.WriteLine(FormattableString.Invariant($"{row.Name}; true onset {scene.Onset:0.000} s"));
        foreach (var pass in played)
        {
            Console.WriteLine(FormattableString.Invariant($"pass {pass.Number} at {scene.Passes[pass.Number - 1].Start:0.00} s, halo {scene.Passes[pass.Number - 1].Halo:0.00}: {(pass.Told ? FormattableString.Invariant($"flash at {pass.OnsetSeconds:0.000} s") : "none")}, significance {pass.Significance:0.00}, confirmation {pass.Confirmation:0.00}"));
        }

        File.WriteAllText(file, TracePlot.Of(row, new(seed, played[^1])).Draw());
    }

    private static void WholeRun(ulong seed, string file)
    {
        var set = SeedSet.Of(seed);
        var (row, options) = RunRows.Run(set, (int)(seed - set.First));
        var outcome = RunOutcome.Play(options);
        Console.WriteLine(FormattableString.Invariant($"{TracePlot.Name(row, outcome)}: {outcome.Flash}; onset {outcome.Truth:0.000} s, told {outcome.Told:0.000} s; fire off by {outcome.FireError:0.00} s"));
        Story(options);
        File.WriteAllText(file, TracePlot.Of(row, outcome).Draw());
    }

    // What happened from the first flash on, and what was said of it.
    private static void Story(SimulatorOptions options)
    {
        var run = new SimulatedRun(options);
        foreach (var made in run.Truth.Applications.Where(made => made.Flashed))
        {
            Console.WriteLine(FormattableString.Invariant($"truly: pass {made.Number} at {made.TimeSeconds:0.00} s, {made.DurationSeconds:0.00} s long, burned for {made.BurnedSeconds:0.00} s"));
        }

        Console.WriteLine(FormattableString.Invariant($"truly: fire at {run.Truth.Fire?.TimeSeconds:0.000} s, covered at {run.Truth.HeaterOffSeconds:0.00} s"));
        var told = new List<RunOutput>();
        RunReplay.Run(RunDraw.Plan(options), run, told);
        foreach (var one in told.SkipWhile(one => one is not FlashDetected))
        {
            Console.WriteLine(FormattableString.Invariant($"told: {one.AtSeconds:0.00} s, {Words(one)}"));
        }
    }

    private static string Words(RunOutput told) => told switch
    {
        FireDetected fire => FormattableString.Invariant($"fire since {fire.OnsetSeconds:0.000} s"),
        BurnEnded burn => FormattableString.Invariant($"burned from {burn.OnsetSeconds:0.000} s for {burn.DurationSeconds:0.00} s"),
        ApplicationJudged judged => FormattableString.Invariant($"pass {judged.Application.Number} at {judged.Application.TimeSeconds:0.00} s, {(judged.Application.Flash ? "flash" : "none")}, significance {judged.Application.Significance:0.0}"),
        AlarmRaised alarm => $"alarm {alarm.Code}",
        AlarmCleared alarm => $"end of {alarm.Code}",
        FindingRaised raised => $"finding {raised.Finding.Code}",
        _ => told.GetType().Name,
    };
}
