using System.Reflection;
using Acquire.Benchmarks.Campaigns.Flash;

namespace Acquire.Benchmarks.Campaigns.Detection;

/// <summary>The generated part of the document, and its pictures.</summary>
internal sealed class ReportText
{
    private const int MostLines = 60;

    private readonly Campaign campaign;
    private readonly List<string> lines = [];
    private int sheets;

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
            Add("### Whole runs", "", "Simulated testers through the whole supervision: each method with a ramp, two detectors (one of six has one, for comparison), a flash of 8 standard deviations and 150 ms below a pass of 10 and a halo of up to 15, drift, hum, wild readings, a draught at three passes of ten; on top of these what the first column says. A run is right where the first application that flashed was found. *Not recorded*: of the readings from 0.05 s before the flash to 0.05 s after its end fewer than seven tenths came in order; and it was not found; *said*: how many of these runs are not called valid.", "");
            Add([.. RunTables.Goals(campaign.Runs), ""]);
            Add([.. RunTables.Write("on top", [.. RunRows.All.Select(row => Group(row)), ("all", (_, _) => true)], campaign.Runs), ""]);
            Add([.. RunTables.Write("method", RunDraw.Methods.Select(method => ("`" + method.Id + "`", (Func<RunRow, RunOutcome, bool>)((_, one) => one.Options.Method.Id == method.Id))), campaign.Runs), ""]);
            Add([.. RunTables.Write("tester", RunTables.Testers, campaign.Runs), ""]);
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
        Add("### What was judged wrongly", "", "Every one of all whole runs, and of the rows of scenes of which something is asked, with its readings: a second and a half before the test flame came until two seconds after it left, the second detector below the first. Shaded: the test flame over the cup. Dashed green: the true onset; dashed red: the one that was told.", "");
        foreach (var set in campaign.Runs)
        {
            Sheets("whole runs", set.Set, set.Faults.Select(fault => (Caption(fault), (Func<TracePlot>)(() => TracePlot.Of(fault.Row, fault.Outcome)))));
            Sheets("fire points more than 0.5 s off, at the pass where they lay", set.Set, set.WrongFires.Select(fault => (FormattableString.Invariant($"{fault.Outcome.FireError:0.00} s: {Caption(fault)}"), (Func<TracePlot>)(() => TracePlot.OfFire(fault.Row, fault.Outcome)))));
        }

        foreach (var result in campaign.Scenes.Where(result => result.Row.Goal is not null))
        {
            foreach (var (set, tally) in result.Played)
            {
                Sheets(result.Row.Name, set, tally.Faults.Select(fault => (Caption(fault), (Func<TracePlot>)(() => TracePlot.Of(result.Row, fault)))));
            }
        }
    }

    // All traces of a group, some on each picture.
    private void Sheets(string name, SeedSet set, IEnumerable<(string Caption, Func<TracePlot> Trace)> faults)
    {
        foreach (var (k, some) in faults.Chunk(TraceSheet.Most).Index())
        {
            var title = $"{name}, {set.Name} seeds{(k == 0 ? "" : $", {k + 1}")}: {some.Length}";
            var file = $"detection-miss-{++sheets}.svg";
            Pictures[file] = TraceSheet.Draw(title, [.. some.Select(one => (one.Caption, one.Trace()))]);
            Add($"![{title}](images/{file})", "");
        }
    }

    private static string Caption((RunRow Row, RunOutcome Outcome) fault) => FormattableString.Invariant(
        $"{TracePlot.Word(fault.Outcome.Flash)}, {fault.Row.Name.Trim('`')}, {(fault.Outcome.Options.TwoDetectors ? "two" : "one")}, {fault.Outcome.Options.RowsPerSecond}/s, seed {fault.Outcome.Options.Seed}");

    private static string Caption(SceneFault fault) => FormattableString.Invariant($"{(fault.Pass.Flashes ? "missed" : "false")}, seed {fault.Seed}, pass {fault.Pass.Number}, evidence {fault.Pass.Evidence:0.0}");

    private static IEnumerable<string> Listed(IEnumerable<string> stories)
    {
        var all = stories.ToArray();
        return all.Length == 0 ? [] : [.. all.Take(MostLines).Select(story => "- " + story), .. all.Length > MostLines ? [$"- and {all.Length - MostLines} more"] : Array.Empty<string>(), ""];
    }

    private void Add(params IEnumerable<string> more) => lines.AddRange(more);
}
