using System.Reflection;
using Acquire.Benchmarks.Campaigns.Flash;

namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>The generated part of the document, and its pictures.</summary>
internal sealed class ReportText
{
    private const int MostPictures = 20, MostLines = 60;

    private readonly Campaign campaign;
    private readonly List<string> lines = [];

    public ReportText(Campaign campaign)
    {
        this.campaign = campaign;
        Begin();
        Runs();
        Forbidden();
        Scenes();
        Faults();
    }

    /// <summary>Pictures by file name.</summary>
    public Dictionary<string, string> Pictures { get; } = [];

    /// <summary>The text.</summary>
    public string Markdown => string.Join('\n', lines);

    private void Begin()
    {
        var version = Assembly.GetExecutingAssembly().GetCustomAttribute<AssemblyInformationalVersionAttribute>()?.InformationalVersion.Split('+')[0];
        Add("```sh", campaign.Options.Command, "```", "");
        Add($"Written by this command, version {version}. *Tuning* seeds, from {SeedSet.Tuning.First} on, are those that constants were chosen with"
            + (campaign.Options.HeldOut ? $"; *held out* seeds, from {SeedSet.HeldOut.First} on, were not looked at before all constants were final." : ". **No other seeds were played for this table.**"));
        Add("Bounds after *below* are those that the probability lies below with a confidence of 95 % (Clopper and Pearson).", "");
    }

    private void Runs()
    {
        if (campaign.Runs.Count > 0)
        {
            Add("### Whole runs", "", "Simulated testers through the whole supervision: each method with a ramp, one detector and two, a flash of 8 standard deviations and 150 ms below a pass of 10 and a halo of up to 15, drift, hum, wild readings, a draught at three passes of ten; on top of these what the first column says. A run is right where the first application that flashed was found. *Not recorded*: of the readings from 0.1 s before the flash to 0.1 s after its onset fewer than seven tenths came in order.", "");
            Add([.. RunTables.Goals(campaign.Runs), ""]);
            Add([.. RunTables.Write("on top", [.. RunRows.All.Select(row => Group(row)), ("all", (_, _) => true)], campaign.Runs), ""]);
            Add([.. RunTables.Write("method", RunDraw.Methods.Select(method => ("`" + method.Id + "`", (Func<RunRow, RunOutcome, bool>)((_, one) => one.Options.Method.Id == method.Id))), campaign.Runs), ""]);
            Add([.. RunTables.Write("tester", [("one detector", (_, one) => !one.Options.TwoDetectors), ("two detectors", (_, one) => one.Options.TwoDetectors)], campaign.Runs), ""]);
        }

        if (campaign.Beside.Count > 0)
        {
            Add("Beside the design scene:", "");
            Add([.. RunTables.Write("instead", RunRows.Beside.Select(row => Group(row)), campaign.Beside), ""]);
        }
    }

    private static (string Name, Func<RunRow, RunOutcome, bool> Which) Group(RunRow row) => (row.Name, (other, _) => other == row);

    private void Forbidden()
    {
        if (campaign.Forbidden.Count > 0)
        {
            Add("### Where no right answer can be expected", "", "The same testers with a disturbance that hides or forges the flash, or spoils the run. What counts is that it is said.", "");
            Add([.. RunTables.Forbidden(campaign.Forbidden), ""]);
            Add([.. Listed(campaign.Forbidden.SelectMany(one => one.Tally.Stories))]);
        }
    }

    private void Scenes()
    {
        if (campaign.Scenes.Count == 0)
        {
            return;
        }

        Add("### Made-up scenes", "", "Sequences of twelve passes without a flash and one with it, written apart from the simulator (`tests/Acquire.Benchmarks/Campaigns/Flash`) and shown to the detection alone. After a false flash a scene is over. *Least that any detector misses*: a detector that knows the covariance of all the rest, course and time of the flash and whether there is a draught, and calls as many passes a flash falsely as this one did (where it did in none: as the bound of that), by the lemma of Neyman and Pearson.", "");
        Add([.. SceneTable.Write(campaign.Scenes), ""]);
        var plotted = campaign.Scenes.Where(result => result.Row.Plotted).ToArray();
        if (plotted.Length > 0)
        {
            var set = campaign.Options.Sets[^1].Name;
            Pictures["detection-roc.svg"] = RocPlot.Draw(plotted, set);
            Pictures["detection-evidence.svg"] = HistogramPlot.Draw([.. campaign.Scenes.Where(result => result.Row.Counted)], set);
            Add("Rows in which something is given up, as the threshold moves; dots are the threshold in use. A curve ends where none of the passes is missed, or none called a flash falsely. Rows of 6 and 8 standard deviations at 50 rows a second and more have no such curve: see the evidence below it.", "", "![Flashes found against false flashes](images/detection-roc.svg)", "", "![Evidence in passes with and without a flash](images/detection-evidence.svg)", "");
        }
    }

    private void Faults()
    {
        var runs = campaign.Runs.Reverse().SelectMany(set => set.Faults.Select(fault => (TracePlot.Name(fault.Row, fault.Outcome), (Func<TracePlot>)(() => TracePlot.Of(fault.Row, fault.Outcome)))));
        var scenes = campaign.Scenes.Where(result => result.Row.Goal is not null).SelectMany(result => result.Played.Reverse().SelectMany(one => one.Tally.Faults.Select(fault => (Name(result.Row, fault), (Func<TracePlot>)(() => TracePlot.Of(result.Row, fault))))));
        var all = runs.Concat(scenes).ToArray();
        Add("### What was judged wrongly", "", all.Length == 0 ? "Nothing, in the rows of which something is asked and in all whole runs." : $"{all.Length} in all whole runs and in the rows of which something is asked, the first {Math.Min(all.Length, MostPictures)} with their readings. Shaded: the test flame over the cup. Dashed: the true onset, and the one that was told.", "");
        foreach (var (k, (_, picture)) in all.Take(MostPictures).Index())
        {
            var plot = picture();
            var file = FormattableString.Invariant($"detection-miss-{k + 1}.svg");
            Pictures[file] = plot.Draw();
            Add($"![{plot.Title}](images/{file})", "");
        }

        Add([.. Listed(all.Skip(MostPictures).Select(one => one.Item1))]);
        Add([.. Listed(campaign.Runs.Reverse().SelectMany(set => set.WrongFires.Select(fault => FormattableString.Invariant($"fire off by {fault.Outcome.FireError:0.00} s: {TracePlot.Name(fault.Row, fault.Outcome)}"))))]);
    }

    private static string Name(SceneRow row, SceneFault fault) => FormattableString.Invariant($"{(fault.Pass.Flashes ? "missed" : "false")}: {row.Name}, seed {fault.Seed}, pass {fault.Pass.Number}, evidence {fault.Pass.Evidence:0.0}");

    private static IEnumerable<string> Listed(IEnumerable<string> stories)
    {
        var all = stories.ToArray();
        return all.Length == 0 ? [] : [.. all.Take(MostLines).Select(story => "- " + story), .. all.Length > MostLines ? [$"- and {all.Length - MostLines} more"] : Array.Empty<string>(), ""];
    }

    private void Add(params IEnumerable<string> more) => lines.AddRange(more);
}
